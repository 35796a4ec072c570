// app/engine/recorder.h
#pragma once

#include <atomic>
#include <condition_variable>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "app/engine/disk_file.h"
#include "app/engine/entry_log.h"
#include "app/engine/notice.h"
#include "app/engine/spool_folder.h"
#include "core/session/entry.h"

namespace strumwright::engine {

/// What waits for the disk at most; beyond it entries are dropped, and the files say so (ours).
inline constexpr std::size_t recorder_most_bytes = std::size_t{32} << 20U;

struct RecorderSetup {
  session::InputHeader header;
  session::Settings settings;
  std::int64_t unix_start_seconds = 0;   ///< the session's start
  std::filesystem::path data_directory;  ///< empty: no spool, nothing is kept
  bool spool = true;
  std::optional<DiskFile> recording;  ///< of the whole session, with its header, if wanted
  /// Called from the recorder thread when a notice waits or the flags below changed.
  std::function<void()> told;
};

/// Writes what enters the bench to the spool and, if asked, to a recording, on its own thread.
///
/// At most 200 ms behind; synced to the disk each second. A disk that fails ends the recording,
/// pauses the spool and gives a notice; nothing else stops. With nothing to write it sleeps.
class Recorder {
 public:
  explicit Recorder(RecorderSetup setup);
  ~Recorder();
  Recorder(const Recorder&) = delete;
  Recorder& operator=(const Recorder&) = delete;

  /// The bench thread's: takes the next entries out of `entries`. Never waits for the disk.
  void take(EntryLog& entries);

  // Any thread. They take effect after all entries taken so far; times are the session's.
  void start_recording(std::filesystem::path file, std::int64_t t_ns);
  void stop_recording(std::int64_t t_ns);
  /// Names the stretch of `length_ns` that ends at `t_ns`.
  void keep(std::string_view label, std::int64_t length_ns, std::int64_t t_ns);
  /// Writes what is left, closes, removes the spool; the thread has ended when it returns.
  void finish();

  [[nodiscard]] bool recording() const { return recording_.load(std::memory_order_relaxed); }
  [[nodiscard]] bool spooling() const { return spooling_.load(std::memory_order_relaxed); }
  [[nodiscard]] std::int64_t spool_from_ns() const {
    return spool_from_ns_.load(std::memory_order_relaxed);
  }
  [[nodiscard]] std::vector<Notice> take_notices();

 private:
  struct Order {
    enum class What : std::uint8_t { start, stop, keep } what = What::start;
    std::filesystem::path file;
    std::string label;
    std::int64_t length_ns = 0;
    std::int64_t t_ns = 0;
    std::size_t place = 0;  ///< in the mail's entries
  };
  /// What is handed over between the threads, under the lock.
  struct Mail {
    EntryLog entries;
    std::vector<Order> orders;
    std::uint64_t dropped_bytes = 0;
    bool finish = false;
  };

  void post(Order order);
  void run();
  bool wait_for_mail(Mail& mail);
  void handle(const Mail& mail);
  void handle(const Order& order);
  void write(const session::Entry& entry);
  void open_spool();
  void flush(std::int64_t now_ns);
  void spool_failed(const Error& error);
  void state_settings(std::int64_t t_ns);
  void begin_recording(const Order& order);
  void end_recording(std::optional<std::int64_t> t_ns);
  void recording_failed(const Error& error);
  void keep_stretch(const Order& order);
  void tell(Notice notice);
  void told() const;

  RecorderSetup setup_;
  // Shared, under the lock.
  std::mutex mutex_;
  std::condition_variable wake_;
  Mail mail_;
  std::vector<Notice> notices_;
  std::atomic<bool> recording_{false};
  std::atomic<bool> spooling_{false};
  std::atomic<std::int64_t> spool_from_ns_{0};
  // The recorder thread's.
  std::optional<SpoolFolder> spool_;
  std::optional<DiskFile> record_;
  session::Settings settings_;
  std::int64_t latest_ns_ = 0;  ///< of the entries written
  std::int64_t synced_ns_ = 0;  ///< monotonic
  bool unsynced_ = false;
  std::thread thread_;  // last: it uses all above
};

}  // namespace strumwright::engine
