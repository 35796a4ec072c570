// core/strum/strum_tracker.h
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/strum/stroke.h"

namespace strumwright::strum {

/// Longest time between two onsets of one stroke (ours).
inline constexpr std::int64_t default_gap_ns = 120'000'000;
/// Shortest time after which a string can have been struck again (ours).
inline constexpr std::int64_t default_refractory_ns = 50'000'000;

struct StrumSettings {
  std::int64_t gap_ns = default_gap_ns;
  std::int64_t refractory_ns = default_refractory_ns;
  friend bool operator==(const StrumSettings&, const StrumSettings&) = default;
};

/// Cuts the note starts of one source into strokes: rules 1 to 6 of strums.
///
/// A stroke is given when it is final: the next one began, or the gap passed. A copyable value.
/// Times never go back by more than an open message; a start before the newest is taken as at it.
/// Errors: none. Thread: its owner's only.
class StrumTracker {
 public:
  explicit StrumTracker(StrumSettings settings = {});

  /// Takes a note start; strokes that it makes final are appended to `finished`.
  void push(const Onset& onset, std::vector<Stroke>& finished);
  /// Lets time pass: the stroke is final when more than the gap has passed.
  void advance(std::int64_t t_ns, std::vector<Stroke>& finished);
  /// The input ended: the open stroke is final.
  void finish(std::vector<Stroke>& finished);
  /// Settings for the next stroke on.
  void set(StrumSettings settings);

  /// When the open stroke becomes final, if one is open and nothing more comes.
  [[nodiscard]] std::optional<std::int64_t> deadline_ns() const;
  /// The stroke as far as it has come (measures filled in); null if none is open.
  [[nodiscard]] std::optional<Stroke> current() const;
};

}  // namespace strumwright::strum
