// app/engine/bench_run.h
#pragma once

#include <atomic>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "app/engine/history.h"
#include "app/engine/listener.h"
#include "app/engine/log.h"
#include "app/engine/merge.h"
#include "app/engine/notice.h"
#include "app/engine/now_keeper.h"
#include "app/engine/now_state.h"
#include "app/engine/recorder.h"
#include "app/engine/triple_buffer.h"
#include "app/io/doorbell.h"
#include "app/io/source.h"
#include "core/pipeline/pipeline.h"
#include "core/session/input_reader.h"

namespace strumwright::engine {

/// What the window or a command asks of a running session.
struct Command {
  enum class What : std::uint8_t {
    mark,
    keep,
    start_recording,
    stop_recording,
    settings,
    say,  ///< a notice of `text`
  };
  What what = What::mark;
  std::int64_t t_ns = 0;  ///< session's clock when it was asked
  std::string text;
  std::filesystem::path file;
  std::int64_t length_ns = 0;
  bool failed = false;  ///< of `say`
  session::Settings settings;
};

/// What both kinds of session share.
struct RunSetup {
  std::uint64_t epoch = 1;
  std::uint64_t version = 0;  ///< publications of the sessions before
  std::string name;           ///< of the source, for people
  std::string detail;
  Listener* listener = nullptr;
  Log* log = nullptr;
  std::function<void()> wake;
};

/// One session: from its first entry to its last, on a bench thread of its own.
///
/// The thread drains rings (or reads a file), feeds the pipeline, publishes. Threads: the owner's,
/// unless said.
class BenchRun {
 public:
  virtual ~BenchRun();
  BenchRun(const BenchRun&) = delete;
  BenchRun& operator=(const BenchRun&) = delete;

  /// Asks the thread to end, and waits for it.
  void stop();
  [[nodiscard]] bool running() const { return !ended_.load(std::memory_order_acquire); }

  /// The reader's: the newest state.
  [[nodiscard]] const Now& now();
  [[nodiscard]] const History& history() const { return history_; }
  /// Any thread.
  [[nodiscard]] std::uint64_t version() const { return version_.load(std::memory_order_acquire); }
  [[nodiscard]] virtual std::int64_t clock_ns() const = 0;

  void ask(Command command);
  [[nodiscard]] std::vector<Notice> take_notices();
  /// After the thread ended.
  [[nodiscard]] const pipeline::Pipeline& pipeline() const { return pipeline_; }

 protected:
  BenchRun(RunSetup setup, const std::vector<session::SourceInfo>& sources,
           session::Settings settings);
  void start_thread();

  // The bench thread's.
  virtual void run() = 0;
  void push(const session::Entry& entry);
  void publish(std::int64_t t_ns);
  void say(Notice notice);
  [[nodiscard]] std::vector<Command> take_commands();
  [[nodiscard]] bool stopping() const { return stop_.load(std::memory_order_relaxed); }

  io::Doorbell bell_;
  RunSetup setup_;
  History history_;
  NowKeeper keeper_;
  pipeline::Pipeline pipeline_;

 private:
  TripleBuffer<Now> buffer_;
  std::atomic<std::uint64_t> version_;
  std::atomic<bool> wake_asked_{false};
  std::atomic<bool> stop_{false};
  std::atomic<bool> ended_{false};
  std::mutex mutex_;
  std::vector<Command> commands_;
  std::vector<Notice> notices_;
  std::thread thread_;
};

}  // namespace strumwright::engine
