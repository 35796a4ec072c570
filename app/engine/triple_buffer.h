// app/engine/triple_buffer.h
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <memory>

namespace strumwright::engine {

/// Hands the newest of a value from one thread to another; neither ever waits.
///
/// The writer fills `back()` and publishes it; the reader's `front()` stays as it is until it
/// fetches. Threads: `back` and `publish` one writer's, `front` and `fetch` one reader's.
template <class Value>
class TripleBuffer {
 public:
  [[nodiscard]] Value& back() { return (*values_)[back_]; }

  /// `back()` becomes the newest; another takes its place, with old contents.
  void publish() { back_ = spare_.exchange(back_ | fresh, std::memory_order_acq_rel) & index_mask; }

  /// Moves `front()` to the newest; false if there is none that is newer.
  bool fetch() {
    if ((spare_.load(std::memory_order_relaxed) & fresh) == 0) return false;
    front_ = spare_.exchange(front_, std::memory_order_acq_rel) & index_mask;
    return true;
  }

  [[nodiscard]] const Value& front() const { return (*values_)[front_]; }

 private:
  static constexpr std::uint32_t index_mask = 3;
  static constexpr std::uint32_t fresh = 4;

  std::unique_ptr<std::array<Value, 3>> values_ = std::make_unique<std::array<Value, 3>>();
  std::uint32_t back_ = 0;
  std::atomic<std::uint32_t> spare_{1};
  std::uint32_t front_ = 2;
};

}  // namespace strumwright::engine
