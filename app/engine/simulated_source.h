// app/engine/simulated_source.h
#pragma once

#include <condition_variable>
#include <cstdint>
#include <mutex>
#include <span>
#include <string>
#include <thread>

#include "app/io/source.h"
#include "core/simulation/simulator.h"

namespace strumwright::engine {

/// The simulated Heron as a source: its bytes come when a wire would have carried them.
///
/// Marked as simulated wherever it is named. Paced by the monotonic clock, so that it never drifts.
/// `stop` plays what is left of the stroke under way at once, with the times it would have had, so
/// that an end in the middle of a stroke leaves no note down that the hand would have let go.
class SimulatedSource final : public io::Source {
 public:
  /// Bytes that a reader would hand over at a time (ours).
  static constexpr std::size_t read_bytes = 30;

  explicit SimulatedSource(simulation::SimulationOptions options);
  ~SimulatedSource() override;

  [[nodiscard]] session::SourceInfo info() const override;
  [[nodiscard]] std::string detail() const override;
  [[nodiscard]] std::int64_t lateness_ns() const override;
  [[nodiscard]] Result<Done> start(io::StampedRing& into) override;
  void stop() override;

 private:
  void play();
  /// False if it was stopped before `t_ns`.
  bool wait_until(std::int64_t t_ns);

  simulation::Simulator simulator_;
  io::StampedRing* into_ = nullptr;
  std::int64_t zero_ns_ = 0;
  // What was not played yet when it was stopped; good until the simulator's next chunk.
  std::int64_t left_ns_ = 0;
  std::span<const std::uint8_t> left_;
  std::mutex mutex_;
  std::condition_variable stopped_;
  bool stop_ = false;
  std::thread thread_;
};

}  // namespace strumwright::engine
