// app/io/clock.h
#pragma once

#include <chrono>
#include <cstdint>

namespace strumwright::io {

/// The machine's monotonic clock in ns: the clock of every stamp that leaves this folder.
/// On Linux it is CLOCK_MONOTONIC, as jack_get_time is. May be called from a real-time callback.
inline std::int64_t now_ns() noexcept {
  return std::chrono::duration_cast<std::chrono::nanoseconds>(
             std::chrono::steady_clock::now().time_since_epoch())
      .count();
}

}  // namespace strumwright::io
