// core/wire/load_meter.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <optional>

namespace strumwright::wire {

/// Bytes of one source over 312.5 in a half-open window of 100 ms that slides at byte times.
///
/// A copyable value of bounded memory. Times never go back. Thread: its owner's only.
class LoadMeter {
 public:
  /// `count` bytes, byte k at `first_ns + k * step_ns` (step 0 or 320,000).
  /// Returns the start of the window that passed 90 % (rule `wire.load`) when one first did, and
  /// not again until a window is at 90 % or less.
  std::optional<std::int64_t> push(std::int64_t first_ns, std::int64_t step_ns, std::size_t count);

  [[nodiscard]] double peak() const;
  /// From the first byte to the end of the last; null without bytes.
  [[nodiscard]] std::optional<double> mean() const;
  /// Load of the 100 ms that end at `t_ns`; for the screen.
  [[nodiscard]] double at(std::int64_t t_ns) const;
};

}  // namespace strumwright::wire
