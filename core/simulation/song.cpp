// core/simulation/song.cpp
#include "core/simulation/song.h"

#include <array>
#include <cstddef>
#include <iterator>

namespace strumwright::simulation {
namespace {

constexpr std::uint8_t strokes_per_chord = 2;

enum Thumbs : std::uint8_t { major, minor, seventh, minor7, sus4, sus2, seventh_sus, diminished7 };

/// Semitones above the key, and the kind. Turns that any accompanist knows: common practice, no
/// source.
struct Degree {
  std::uint8_t above_key;
  Thumbs thumbs;
};
using Pattern = std::array<Degree, 4>;

constexpr std::array<Pattern, 7> patterns = {{
    {{{0, major}, {9, minor}, {5, major}, {7, seventh}}},
    {{{0, major}, {7, major}, {9, minor}, {5, major}}},
    {{{2, minor7}, {7, seventh}, {0, major}, {0, sus2}}},
    {{{0, major}, {0, seventh}, {5, major}, {5, minor}}},
    {{{0, major}, {1, diminished7}, {2, minor7}, {7, seventh}}},
    {{{9, minor}, {5, major}, {7, sus4}, {7, major}}},
    {{{4, minor7}, {9, seventh}, {2, minor7}, {7, seventh_sus}}},
}};

}  // namespace

HeronChord Song::next() {
  if (strokes_ == patterns[pattern_].size() * strokes_per_chord) turn();
  const Degree degree = patterns[pattern_][strokes_ / strokes_per_chord];
  ++strokes_;
  return {static_cast<std::uint8_t>((key_ + degree.above_key) % 12U), degree.thumbs};
}

void Song::turn() {
  strokes_ = 0;
  pattern_ = static_cast<std::uint8_t>(random_.below(patterns.size()));
  // A fifth up, a fifth down, or stay.
  static constexpr std::uint8_t steps[] = {0, 7, 7, 5};
  key_ = static_cast<std::uint8_t>((key_ + steps[random_.below(std::size(steps))]) % 12U);
}

}  // namespace strumwright::simulation
