// app/engine/file_run.h
#pragma once

#include <atomic>
#include <cstdint>
#include <memory>

#include "app/engine/bench_run.h"
#include "app/io/files.h"
#include "core/session/input_reader.h"

namespace strumwright::engine {

/// A recording that was opened: its reader and what that reads from.
struct OpenedRecording {
  std::unique_ptr<io::FileSource> bytes;
  std::unique_ptr<session::InputReader> reader;
};

[[nodiscard]] Result<OpenedRecording> open_recording_file(const std::filesystem::path& file,
                                                          session::InputKind kind);

/// A session read from a recording, as fast as it can be.
class FileRun : public BenchRun {
 public:
  FileRun(RunSetup setup, OpenedRecording recording);
  ~FileRun() override;

  void start() { start_thread(); }
  /// The time that has been read up to.
  [[nodiscard]] std::int64_t clock_ns() const override {
    return read_to_ns_.load(std::memory_order_relaxed);
  }

 private:
  void run() override;
  bool read_some();
  void finish();
  void publish_read();

  OpenedRecording recording_;
  std::atomic<std::int64_t> read_to_ns_{0};
};

}  // namespace strumwright::engine
