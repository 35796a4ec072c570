// app/engine/bench.h
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/engine/bench_run.h"
#include "app/engine/history.h"
#include "app/engine/listener.h"
#include "app/engine/log.h"
#include "app/engine/notice.h"
#include "app/engine/now_state.h"
#include "app/engine/recorder.h"
#include "app/io/source.h"
#include "core/pipeline/pipeline.h"
#include "core/result.h"
#include "core/session/entry.h"
#include "core/session/input_reader.h"

namespace strumwright::engine {

/// What a session is made of.
struct SessionSetup {
  std::vector<std::unique_ptr<io::Source>> sources;
  session::Settings settings;
  std::filesystem::path record_to;  ///< empty: no recording from the start
  Listener* listener = nullptr;     ///< outlives the session
};

/// What stays the same from session to session.
struct BenchSetup {
  /// Holds `spool/` and `kept/`; empty: neither.
  std::filesystem::path data_directory;
  bool spool = true;
  /// Called from the bench thread when `version()` grew, at most once until `now()` is called.
  std::function<void()> wake;
  Log* log = nullptr;  ///< outlives the bench
};

/// The engine behind a window or a command: sources in, now-state and history out.
///
/// Owns the bench thread, which drains the sources' rings, runs the pipeline and publishes, and the
/// recorder thread, which writes spool and recording. One session at a time: all of `start`,
/// `open_recording` and `stop` end the one before, whose now-state and history stay readable
/// until the next start. Thread: all functions the main thread's only, unless said.
class Bench {
 public:
  explicit Bench(BenchSetup setup);
  ~Bench();
  Bench(const Bench&) = delete;
  Bench& operator=(const Bench&) = delete;

  /// Starts a session on live sources; opens them. An error leaves no session.
  Result<Done> start(SessionSetup setup);
  /// Whether it was the recording, and not a source, that the last `start` could not open.
  [[nodiscard]] bool recording_refused() const { return recording_refused_; }
  /// Reads a recording as fast as it can; everything stays readable. Nothing is spooled or kept.
  /// A failure that the header shows is returned, a later one becomes a notice.
  Result<Done> open_recording(const std::filesystem::path& file, session::InputKind kind,
                              Listener* listener = nullptr);
  /// Closes the sources, settles the input's end and waits for the recorder.
  void stop();
  /// Whether a session runs: false when a file was read, or all sources ended, or after `stop`.
  [[nodiscard]] bool running() const;

  /// The newest state; good until the next call of `now`.
  [[nodiscard]] const Now& now();
  /// The session's history; good until the next start.
  [[nodiscard]] const History& history() const;
  /// Grows with each publication; any thread.
  [[nodiscard]] std::uint64_t version() const;
  /// The session's clock now, for what moves between publications; any thread.
  [[nodiscard]] std::int64_t clock_ns() const;

  /// Sets a mark at this moment.
  void mark(std::string_view text);
  /// Shows a sentence of the program's other parts among the session's notices, for instance why a
  /// source did not open.
  void say(const Notice& notice);
  /// Names the last minutes: marks this moment and writes them to `kept/`, in the background. A
  /// notice says how it went. `minutes` at most 15.
  void keep(std::string_view label, double minutes = 15.0);
  void start_recording(const std::filesystem::path& file);
  void stop_recording();
  /// Settings from the next stroke on.
  void set(const session::Settings& settings);

  /// What was said since the last call (the newest also stands in `Now::notice`).
  [[nodiscard]] std::vector<Notice> take_notices();
  /// The analysers of the session after `stop`, for the document; null while it runs.
  [[nodiscard]] const pipeline::Pipeline* finished_pipeline() const;

 private:
  [[nodiscard]] RunSetup run_setup(std::string name, std::string detail, Listener* listener);
  [[nodiscard]] Result<RecorderSetup> recorder_setup(const SessionSetup& setup) const;
  void ask(Command command);

  BenchSetup setup_;
  std::uint64_t epoch_ = 0;
  bool recording_refused_ = false;
  std::unique_ptr<BenchRun> run_;
  std::vector<Notice> notices_;  ///< of sessions that went
  Now nothing_;                  ///< before the first session
  History no_history_;
};

}  // namespace strumwright::engine
