// app/engine/live_run.h
#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <vector>

#include "app/engine/bench_run.h"
#include "app/engine/entry_log.h"
#include "app/engine/merge.h"
#include "app/engine/recorder.h"
#include "app/io/source.h"

namespace strumwright::engine {

/// Time between two publications of what entered, at least (ours): a note after a pause goes out at
/// once, one in a burst at most this much later.
inline constexpr std::int64_t publish_gap_ns = 1'000'000;
/// How far the pipeline's time stays behind the clock, besides the sources' lateness: threads may
/// wake late (ours). A stamp that is later still is raised to the pipeline's time.
inline constexpr std::int64_t wake_margin_ns = 2'000'000;

/// A session on live sources.
///
/// What the pipeline takes is what the recorder gets, times and order too, so that the capture
/// gives the same findings again.
class LiveRun : public BenchRun {
 public:
  using Sources = std::vector<std::unique_ptr<io::Source>>;

  /// Opens nothing yet. `recorder` lacks its wake-up, which is the run's.
  LiveRun(RunSetup setup, Sources sources, session::Settings settings, RecorderSetup recorder);
  ~LiveRun() override;

  /// Starts the sources, then the thread.
  Result<Done> start();
  [[nodiscard]] std::int64_t clock_ns() const override;

 private:
  void run() override;
  void step(std::int64_t now_ns);
  void finish();
  bool drain(std::int64_t now_ns);
  void take(std::size_t src, const io::StampedRing::Item& item);
  void enter(session::Entry entry);
  bool tick(std::int64_t now_ns);
  void obey(const Command& command);
  bool hear_recorder();
  void hand_over();
  void publish_now();
  [[nodiscard]] std::int64_t due_ns();

  std::int64_t zero_ns_;  ///< the session's start on the monotonic clock
  Merge merge_;
  Sources sources_;  // after the rings they push into: they end first
  std::int64_t lag_ns_;
  session::Settings settings_;
  std::atomic<std::int64_t> end_ns_{-1};  ///< of the session, once it ended
  std::atomic<bool> told_{false};         ///< the recorder has a notice
  std::unique_ptr<Recorder> recorder_;
  EntryLog fresh_;             ///< entered, not yet with the recorder
  std::int64_t floor_ns_ = 0;  ///< no entry may be earlier: the last one, or time advanced
  // On the monotonic clock.
  std::int64_t last_entry_ns_ = 0;
  std::int64_t next_tick_ns_ = Merge::never_ns;
  std::int64_t published_ns_ = 0;  ///< what entered; a tick's publication holds up no note
  bool dirty_ = true;
};

}  // namespace strumwright::engine
