// app/io/source_watch.h
#pragma once

#include <chrono>
#include <condition_variable>
#include <functional>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace strumwright::io {

/// A source that could be opened now.
struct OpenableSource {
  std::string address;  ///< "port:NAME", "serial:DEVICE" or "raw:PATH", as settings keep it
  std::string name;
  std::string detail;  ///< "MIDI port, JACK"
};

/// Looks for MIDI inputs, serial lines and raw MIDI device files on a thread of its own, about once
/// a second while somebody asks: services may take long to answer, and a program that looked all
/// the time would stir them for nothing.
class SourceWatch {
 public:
  /// `changed` is called on the watch's thread when a look found something else than the one
  /// before.
  explicit SourceWatch(std::function<void()> changed);
  ~SourceWatch();
  SourceWatch(const SourceWatch&) = delete;
  SourceWatch& operator=(const SourceWatch&) = delete;

  /// What the newest look found; asks for further looks. Never waits. Any thread.
  [[nodiscard]] std::vector<OpenableSource> list();

 private:
  using Clock = std::chrono::steady_clock;

  void run();

  std::function<void()> changed_;
  std::mutex mutex_;
  std::condition_variable asked_;
  std::vector<OpenableSource> found_;
  Clock::time_point wanted_until_;
  bool closing_ = false;
  std::thread thread_;
};

}  // namespace strumwright::io
