// app/engine/simulated_source.cpp
#include "app/engine/simulated_source.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "app/io/clock.h"
#include "core/midi/status.h"

namespace strumwright::engine {

SimulatedSource::SimulatedSource(simulation::SimulationOptions options)
    : simulator_(std::move(options)) {}

SimulatedSource::~SimulatedSource() { stop(); }

session::SourceInfo SimulatedSource::info() const {
  session::SourceInfo info;
  info.name = "SIMULATED Heron";
  info.raw = true;
  info.timing = wire::Grade::byte;
  info.simulated = true;
  return info;
}

std::string SimulatedSource::detail() const { return "simulated, no instrument is connected"; }

std::int64_t SimulatedSource::lateness_ns() const {
  return static_cast<std::int64_t>(read_bytes) * midi::byte_ns;
}

Result<Done> SimulatedSource::start(io::StampedRing& into) {
  into_ = &into;
  zero_ns_ = io::now_ns();
  thread_ = std::thread([this] { play(); });
  return Done{};
}

void SimulatedSource::play() {
  while (const auto chunk = simulator_.next()) {
    left_ns_ = zero_ns_ + chunk->t_ns;
    left_ = chunk->bytes;
    while (!left_.empty()) {
      const auto piece = left_.first(std::min(left_.size(), read_bytes));
      const std::int64_t end_ns =
          left_ns_ + static_cast<std::int64_t>(piece.size()) * midi::byte_ns;
      if (!wait_until(end_ns)) return;
      into_->push(left_ns_, piece);
      left_ = left_.subspan(piece.size());
      left_ns_ = end_ns;
    }
  }
}

bool SimulatedSource::wait_until(std::int64_t t_ns) {
  const std::chrono::steady_clock::time_point until{std::chrono::nanoseconds(t_ns)};
  std::unique_lock lock(mutex_);
  return !stopped_.wait_until(lock, until, [this] { return stop_; });
}

void SimulatedSource::stop() {
  if (!thread_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    stop_ = true;
    stopped_.notify_one();
  }
  thread_.join();
  into_->push(left_ns_, left_);
  simulator_.finish();
  while (const auto chunk = simulator_.next()) into_->push(zero_ns_ + chunk->t_ns, chunk->bytes);
}

}  // namespace strumwright::engine
