// core/pipeline/byte_clock.cpp
#include "core/pipeline/byte_clock.h"

#include <cassert>

#include "core/midi/status.h"

namespace strumwright::pipeline {

void ByteClock::put(std::int64_t t_ns, std::span<const std::uint8_t> bytes) {
  assert(!next_ns());
  waiting_.assign(bytes.begin(), bytes.end());
  taken_ = 0;
  chunk_ns_ = t_ns;
}

std::optional<std::int64_t> ByteClock::next_ns() const {
  if (taken_ == waiting_.size()) return std::nullopt;
  return chunk_ns_ + static_cast<std::int64_t>(taken_) * midi::byte_ns;
}

TimedBytes ByteClock::take_until(std::int64_t t_ns, std::size_t most) {
  const auto next = next_ns();
  if (!next || *next > t_ns) return {};
  const auto due = static_cast<std::size_t>((t_ns - *next) / midi::byte_ns) + 1;
  return take(std::min({due, most, waiting_.size() - taken_}));
}

TimedBytes ByteClock::take_all(std::int64_t latest_ns, std::size_t most) {
  if (auto due = take_until(latest_ns, most); !due.bytes.empty()) return due;
  auto late = take(std::min(most, waiting_.size() - taken_));
  late.first_ns = latest_ns;
  late.step_ns = 0;
  return late;
}

TimedBytes ByteClock::take(std::size_t count) {
  const auto first_ns = next_ns().value_or(0);
  const auto bytes = std::span<const std::uint8_t>(waiting_).subspan(taken_, count);
  taken_ += count;
  return {bytes, first_ns, midi::byte_ns};
}

}  // namespace strumwright::pipeline
