// core/wire/load_meter.h
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <optional>
#include <vector>

namespace strumwright::wire {

/// Length of the window over which load is counted (ours).
inline constexpr std::int64_t load_window_ns = 100'000'000;
/// Bytes that fill the window: ten bits each at 31,250 baud. Source: IEC 63035:2017, 4.1.
inline constexpr double load_window_bytes = 312.5;
/// The most bytes in a window that are not over 90 %, which is 281.25 (rule `wire.load`, ours).
inline constexpr std::uint64_t load_fair_bytes = 281;

/// A window that passed 90 % (rule `wire.load`).
struct Overload {
  std::int64_t window_ns;  ///< its start: the time of its oldest byte
  std::int64_t at_ns;      ///< when the byte began with which it passed
  double load;
};

/// Bytes of one source over 312.5 in a half-open window of 100 ms that slides at byte times.
///
/// A byte that would lie before the newest (the tail of a message whose successor came early) is
/// taken as at the newest. Exact while the window's bytes form at most `runs_kept` runs of equal
/// steps; an honest wire has at most 313 bytes there. Beyond that bytes are taken as at the newest
/// run's last byte until older ones leave: they count at once and may leave the window early.
/// A copyable value of bounded memory. Thread: its owner's only.
class LoadMeter {
 public:
  static constexpr std::size_t runs_kept = 1024;

  /// `count` bytes, byte k at `first_ns + k * step_ns` (step 0 or 320,000). Appends each time that
  /// a window passed 90 %, and not again until a window is at 90 % or less.
  void push(std::int64_t first_ns, std::int64_t step_ns, std::size_t count,
            std::vector<Overload>& overloads);

  [[nodiscard]] double peak() const { return static_cast<double>(most_) / load_window_bytes; }
  /// From the first byte to the end of the last; null without bytes.
  [[nodiscard]] std::optional<double> mean() const;
  /// Load of the 100 ms that end at `t_ns`, which no byte is later than; for the screen.
  [[nodiscard]] double at(std::int64_t t_ns) const;

 private:
  /// Bytes at equal steps.
  struct Run {
    std::int64_t first_ns;
    std::int64_t step_ns;
    std::uint64_t count;
    [[nodiscard]] std::int64_t last_ns() const {
      return first_ns + static_cast<std::int64_t>(count - 1) * step_ns;
    }
  };

  [[nodiscard]] bool goes_on(const Run& run) const;
  Run keep(Run run);
  void count(Run run, std::vector<Overload>& overloads);
  void drop_until(std::int64_t t_ns);

  std::deque<Run> runs_;    ///< of the window, and older ones that were not yet in the way
  std::uint64_t held_ = 0;  ///< bytes in `runs_` that are counted
  std::uint64_t most_ = 0;  ///< bytes in the fullest window
  std::uint64_t total_ = 0;
  std::int64_t first_ns_ = 0;
  std::int64_t newest_ns_ = 0;
  bool over_ = false;
};

}  // namespace strumwright::wire
