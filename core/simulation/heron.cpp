// core/simulation/heron.cpp
#include "core/simulation/heron.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>

namespace strumwright::simulation {
namespace {

constexpr unsigned f1 = 1;
constexpr unsigned f2 = 2;
constexpr unsigned f3 = 4;
constexpr unsigned f4 = 8;

/// The fingers of each root from C on: a cyclic Gray code round the circle of fifths (ours).
constexpr std::array<std::uint8_t, 12> fingers_of_root = {
    f1,           f3 | f4, f2,           f2 | f4, f3, f1 | f4,
    f1 | f3 | f4, f1 | f2, f2 | f3 | f4, f2 | f3, f4, f1 | f3,
};

constexpr unsigned ninth = 1U << 2U;

/// Semitones above the root, as bits, by the thumbs held: none, T1, T2, T1+T2, T3, T1+T3, T2+T3,
/// all.
constexpr std::array<std::uint16_t, 8> tones_of_thumbs = {
    1U << 0 | 1U << 4 | 1U << 7,             // major
    1U << 0 | 1U << 3 | 1U << 7,             // minor
    1U << 0 | 1U << 4 | 1U << 7 | 1U << 10,  // seventh
    1U << 0 | 1U << 3 | 1U << 7 | 1U << 10,  // minor seventh
    1U << 0 | 1U << 5 | 1U << 7,             // suspended fourth
    1U << 0 | 1U << 2 | 1U << 7,             // suspended second
    1U << 0 | 1U << 5 | 1U << 7 | 1U << 10,  // seventh suspended
    1U << 0 | 1U << 3 | 1U << 6 | 1U << 9,   // diminished seventh
};

/// The `count`-th tone (0 is the root) above `root_note`.
std::uint8_t rise(std::uint8_t root_note, unsigned tones, int count) {
  const int octaves = count / std::popcount(tones);
  int left = count % std::popcount(tones);
  unsigned semitone = 0;
  for (; left > 0; --left) {
    do ++semitone;
    while ((tones >> semitone & 1U) == 0);
  }
  return static_cast<std::uint8_t>(root_note + static_cast<int>(semitone) + 12 * octaves);
}

}  // namespace

std::optional<HeronChord> Heron::chord_of(std::uint8_t combination) {
  const auto found = std::find(fingers_of_root.begin(), fingers_of_root.end(), combination & 15U);
  if (found == fingers_of_root.end()) return std::nullopt;
  return HeronChord{static_cast<std::uint8_t>(found - fingers_of_root.begin()),
                    static_cast<std::uint8_t>(combination >> 4U & 7U)};
}

std::uint8_t Heron::combination_of(HeronChord chord) {
  return static_cast<std::uint8_t>(fingers_of_root[chord.root] | chord.thumbs << 4U);
}

std::uint8_t Heron::note_of(HeronChord chord, std::uint8_t string) {
  assert(string >= 1 && string <= strings);
  const unsigned tones = tones_of_thumbs[chord.thumbs];
  if (string <= lower_rank) {
    return rise(static_cast<std::uint8_t>(36 + chord.root), tones, string - 1);
  }
  return rise(static_cast<std::uint8_t>(60 + chord.root), tones | ninth, string - lower_rank - 1);
}

std::vector<std::string_view> Heron::button_names(std::uint8_t combination) {
  static constexpr std::string_view names[buttons] = {"F1", "F2", "F3", "F4", "T1", "T2", "T3"};
  std::vector<std::string_view> held;
  for (std::uint8_t button = 0; button < buttons; ++button) {
    if ((combination >> button & 1U) != 0) held.push_back(names[button]);
  }
  return held;
}

}  // namespace strumwright::simulation
