// app/io/doorbell.h
#pragma once

#include <atomic>
#include <cstdint>

namespace strumwright::io {

/// Wakes one sleeping thread from any number of others, real-time callbacks among them.
///
/// `ring` never blocks, allocates or locks: it is one atomic addition, and a futex wake (a
/// syscall that returns at once) only if the sleeper sleeps. That one syscall is let into a
/// callback on purpose: the other way to hear of a byte is to poll, which costs more.
/// std::atomic::wait has no time limit in C++20, the bench thread needs one: hence our own.
class Doorbell {
 public:
  /// Any thread. What was written before it is seen by the thread that it wakes.
  void ring() noexcept;

  /// The sleeper's: the count to hand to `wait`. Take it, then look at the rings, then wait.
  [[nodiscard]] std::uint32_t count() const noexcept {
    return count_.load(std::memory_order_acquire);
  }

  /// The sleeper's: returns once the bell has been rung since `seen`, or after `limit_ns`
  /// (at once if that is not above 0). May also return early; the caller looks again.
  void wait(std::uint32_t seen, std::int64_t limit_ns) noexcept;

 private:
  std::atomic<std::uint32_t> count_{0};
  std::atomic<bool> asleep_{false};
};

}  // namespace strumwright::io
