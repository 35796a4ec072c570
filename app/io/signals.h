// app/io/signals.h
#pragma once

#include <atomic>
#include <functional>
#include <thread>

#include <signal.h>  // NOLINT(modernize-deprecated-headers): sigset_t is POSIX

namespace strumwright::io {

/// Turns SIGINT, SIGTERM and SIGHUP into a call on a thread of its own, so that no signal handler
/// runs anything. Create one in main before any other thread: it blocks these signals, and threads
/// inherit that. At the third signal the process ends at once: who asks three times does not want
/// to wait for a port. SIGPIPE is ignored, so that a reader that closes is an error of the write.
/// The thread that created it destroys it, and gets its signals back.
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
  sigset_t mask_before_{};
  std::atomic<bool> closing_{false};
  std::thread thread_;
};

}  // namespace strumwright::io
