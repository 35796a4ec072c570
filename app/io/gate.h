// app/io/gate.h
#pragma once

#include <atomic>
#include <thread>

namespace strumwright::io {

/// Lets a callback in until it is closed, so that its work can be handed to another thread even
/// when the library that calls it hangs and never lets go.
///
/// `enter` and `leave` are wait-free. A callback that entered must leave soon.
class Gate {
 public:
  /// The callback's: false if it must do nothing.
  [[nodiscard]] bool enter() noexcept {
    if ((state_.fetch_add(inside, std::memory_order_acq_rel) & closed) == 0) return true;
    leave();
    return false;
  }
  void leave() noexcept { state_.fetch_sub(inside, std::memory_order_release); }

  /// Returns when nobody is inside and nobody will be; what was done inside is then seen here.
  void close() noexcept {
    state_.fetch_or(closed, std::memory_order_acq_rel);
    while (state_.load(std::memory_order_acquire) != closed) std::this_thread::yield();
  }

 private:
  static constexpr unsigned closed = 1;
  static constexpr unsigned inside = 2;
  std::atomic<unsigned> state_{0};
};

}  // namespace strumwright::io
