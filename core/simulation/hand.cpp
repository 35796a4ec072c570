// core/simulation/hand.cpp
#include "core/simulation/hand.h"

#include <algorithm>

namespace strumwright::simulation {
namespace {

/// A run of so many neighbours holds every tone of its rank (four, five with the ninth), and makes
/// a stroke that is heard as one.
constexpr std::uint8_t shortest_lower = 6;
constexpr std::uint8_t shortest_upper = 5;

}  // namespace

std::int64_t Hand::about(std::int64_t middle_ns) {
  return random_.between(middle_ns * 3 / 4, middle_ns * 5 / 4);
}

Hand::Run Hand::longest_run(HeronChord chord, bool lower, const StrokeLimits& limits) const {
  Run best{0, 0};
  Run run{0, 0};
  const std::uint8_t first = lower ? 1 : Heron::lower_rank + 1;
  const std::uint8_t last = lower ? Heron::lower_rank : Heron::strings;
  for (std::uint8_t string = first; string <= last; ++string) {
    if (Heron::note_of(chord, string) == limits.avoid_note) {
      run.count = 0;
      continue;
    }
    if (run.count == 0) run.first = string;
    ++run.count;
    if (run.count > best.count) best = run;
  }
  return best;
}

Hand::Run Hand::choose_run(HeronChord chord, const StrokeLimits& limits) {
  const bool wants_upper = random_.below(4) == 0 && !limits.lower_rank_only;
  Run run = longest_run(chord, !wants_upper, limits);
  std::uint8_t shortest = wants_upper ? shortest_upper : shortest_lower;
  // The lower rank always has a run beside the one note to avoid.
  if (run.count < std::max(shortest, limits.exact_strings.value_or(0))) {
    run = longest_run(chord, true, limits);
    shortest = shortest_lower;
  }
  const auto count = limits.exact_strings.value_or(
      static_cast<std::uint8_t>(random_.between(shortest, run.count)));
  run.first = static_cast<std::uint8_t>(run.first + random_.between(0, run.count - count));
  run.count = count;
  return run;
}

StrokePlan Hand::next(const StrokeLimits& limits) {
  StrokePlan stroke;
  stroke.chord = song_.next();
  const Run run = choose_run(stroke.chord, limits);
  for (std::uint8_t k = 0; k < run.count; ++k) {
    stroke.strings.push_back(static_cast<std::uint8_t>(run.first + k));
  }
  stroke.up = random_.below(5) < 3;
  if (!stroke.up) std::reverse(stroke.strings.begin(), stroke.strings.end());
  time(stroke);
  return stroke;
}

StrokePlan Hand::back(const StrokePlan& stroke) {
  StrokePlan other = stroke;
  other.up = !stroke.up;
  std::reverse(other.strings.begin(), other.strings.end());
  time(other);
  return other;
}

void Hand::time(StrokePlan& stroke) {
  const std::int64_t pace_ns = random_.between(10'000'000, 22'000'000);
  stroke.gaps_ns.clear();
  for (std::size_t k = 1; k < stroke.strings.size(); ++k) stroke.gaps_ns.push_back(about(pace_ns));
}

}  // namespace strumwright::simulation
