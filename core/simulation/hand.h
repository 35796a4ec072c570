// core/simulation/hand.h
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/simulation/heron.h"
#include "core/simulation/random.h"
#include "core/simulation/song.h"

namespace strumwright::simulation {

/// A stroke as the hand means it.
struct StrokePlan {
  HeronChord chord;
  bool up = true;
  std::vector<std::uint8_t> strings;  ///< in the order in which they are struck
  std::vector<std::int64_t> gaps_ns;  ///< from each string to the next: one fewer
};

/// What a stroke must keep to.
struct StrokeLimits {
  bool lower_rank_only = false;
  std::optional<std::uint8_t> avoid_note;     ///< it still sounds, or is thought to
  std::optional<std::uint8_t> exact_strings;  ///< how many
};

/// A player of the Heron: strokes over a run of neighbouring strings of one rank, up and down, with
/// the unevenness of a hand. Every stroke is long enough to sound all tones of its chord.
/// A copyable value of fixed size.
class Hand {
 public:
  explicit Hand(std::uint64_t seed) : random_(seed), song_(random_.next()) {}

  StrokePlan next(const StrokeLimits& limits);
  /// The same strings back the other way.
  StrokePlan back(const StrokePlan& stroke);
  /// A small time, about `middle_ns`, never under three quarters of it.
  std::int64_t about(std::int64_t middle_ns);

 private:
  struct Run {
    std::uint8_t first;
    std::uint8_t count;
  };
  [[nodiscard]] Run longest_run(HeronChord chord, bool lower, const StrokeLimits& limits) const;
  Run choose_run(HeronChord chord, const StrokeLimits& limits);
  void time(StrokePlan& stroke);

  Random random_;
  Song song_;
};

}  // namespace strumwright::simulation
