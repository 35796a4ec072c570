// core/notes/sense_watch.h
#pragma once

#include <cstdint>
#include <optional>

namespace strumwright::notes {

/// Longest silence a sender of active sensing may leave.
/// Source: MIDI 1.0 Detailed Specification 4.2, Active Sensing (300 ms).
inline constexpr std::int64_t sense_limit_ns = 300'000'000;

/// Watches one source for lost active sensing (rule `timing.sense-lost`).
///
/// Expects nothing before the first FE; from then on any byte keeps the link alive.
/// Times: ns from the start of the session; they never go back.
/// Errors: none, every byte is welcome. Allocates nothing. Thread: its owner's only.
class SenseWatch {
 public:
  /// Takes bytes of which the last began at `last_ns` and the first at `first_ns`, with no gap that
  /// could be a loss between; `sensing` if an FE is among them. Returns when the link was lost
  /// before them, if it was.
  [[nodiscard]] std::optional<std::int64_t> push(std::int64_t first_ns, std::int64_t last_ns,
                                                 bool sensing);

  /// Lets time pass without a byte; returns as `push` does.
  [[nodiscard]] std::optional<std::int64_t> advance(std::int64_t t_ns);

  /// Expects nothing until the next FE (the port went).
  void disarm() { expecting_ = false; }

  /// When the link will count as lost, if it is watched.
  [[nodiscard]] std::optional<std::int64_t> deadline_ns() const;

 private:
  bool expecting_ = false;
  std::int64_t last_ns_ = 0;
};

}  // namespace strumwright::notes
