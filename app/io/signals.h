// app/io/signals.h
#pragma once

#include <functional>
#include <thread>

namespace strumwright::io {

/// Turns SIGINT, SIGTERM and SIGHUP into a call on a thread of its own, so that no signal handler
/// runs anything. Create one in main before any other thread: it blocks these signals, and
/// threads inherit that. From the third signal on the process ends at once: a user who asks
/// three times must not wait for a port.
class Signals {
 public:
  /// `on_signal` gets the signal's number, on our thread, for the first and the second.
  explicit Signals(std::function<void(int)> on_signal);
  ~Signals();
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;

 private:
  void run();

  std::function<void(int)> on_signal_;
  int wake_fd_ = -1;
  std::thread thread_;
};

}  // namespace strumwright::io
