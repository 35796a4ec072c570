// core/simulation/song.h
#pragma once

#include <cstdint>

#include "core/simulation/heron.h"
#include "core/simulation/random.h"

namespace strumwright::simulation {

/// An endless chord progression: four-chord turns in a key that wanders round the circle of fifths.
/// A copyable value of fixed size.
class Song {
 public:
  explicit Song(std::uint64_t seed) : random_(seed) {}

  /// The chord of the next stroke; most chords last two strokes.
  HeronChord next();

 private:
  void turn();

  Random random_;
  std::uint8_t key_ = 0;
  std::uint8_t pattern_ = 0;
  std::uint8_t strokes_ = 0;  ///< of this turn so far
};

}  // namespace strumwright::simulation
