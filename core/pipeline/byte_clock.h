// core/pipeline/byte_clock.h
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace strumwright::pipeline {

/// A run of bytes whose byte k began at `first_ns + k * step_ns`. Views the clock's memory.
struct TimedBytes {
  std::span<const std::uint8_t> bytes;
  std::int64_t first_ns = 0;
  std::int64_t step_ns = 0;
  [[nodiscard]] std::int64_t last_ns() const {
    return first_ns + step_ns * (static_cast<std::int64_t>(bytes.size()) - 1);
  }
};

/// Gives each byte of one source its time: byte k of a chunk at t + k * 320,000 ns, but never later
/// than the source's next chunk (rules, section 1). Bytes wait here until their time is certain.
class ByteClock {
 public:
  /// The next chunk began at `t_ns`; what waited has been taken (see `take_all`).
  void put(std::int64_t t_ns, std::span<const std::uint8_t> bytes);

  /// When the next waiting byte begins, if one waits.
  [[nodiscard]] std::optional<std::int64_t> next_ns() const;
  /// Takes at most `most` bytes that begin at or before `t_ns`.
  TimedBytes take_until(std::int64_t t_ns, std::size_t most);
  /// Takes at most `most` bytes, at their time or at `latest_ns` if that is earlier.
  TimedBytes take_all(std::int64_t latest_ns, std::size_t most);

 private:
  TimedBytes take(std::size_t count);

  std::vector<std::uint8_t> waiting_;
  std::size_t taken_ = 0;
  std::int64_t chunk_ns_ = 0;
};

}  // namespace strumwright::pipeline
