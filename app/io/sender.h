// app/io/sender.h
#pragma once

#include <array>
#include <bitset>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <memory>
#include <mutex>
#include <span>
#include <string>
#include <thread>
#include <vector>

#include "app/io/output.h"
#include "app/io/stamped_ring.h"

namespace strumwright::io {

/// Sends all bytes of one output, on a thread of its own, and keeps what it started so that it
/// can release it. Every member function may be called by any thread; none waits for the port
/// but `drain` and the destructor.
class Sender {
 public:
  /// `sent`, if given, gets a stamped copy of all that went out and a notice for what could not;
  /// it outlives the sender.
  explicit Sender(std::unique_ptr<Output> output, StampedRing* sent = nullptr);

  /// Releases what it started, then closes the output.
  ~Sender();
  Sender(const Sender&) = delete;
  Sender& operator=(const Sender&) = delete;

  [[nodiscard]] std::string name() const { return name_; }

  /// Whole messages, with status bytes or running status, now.
  void send(std::span<const std::uint8_t> bytes);

  /// The same at a time of the monotonic clock; times never go back, those gone by mean now.
  void send_at(std::int64_t t_ns, std::span<const std::uint8_t> bytes);

  /// A note-off for each note that we started and did not end, the pedal up where we put it
  /// down, and all-notes-off (CC 123) on each channel that we used. What still waits is dropped.
  void release_all();

  /// Returns when nothing waits any more.
  void drain();

  /// The first error of the output since the last call, empty if none.
  [[nodiscard]] std::string take_error();

 private:
  struct Job {
    std::int64_t t_ns = 0;
    std::vector<std::uint8_t> bytes;
    bool release = false;
  };

  void run();
  void perform(const Job& job);
  void transmit(std::span<const std::uint8_t> bytes);

  std::string name_;
  std::unique_ptr<Output> output_;
  StampedRing* sent_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Job> jobs_;
  bool busy_ = false;
  bool closing_ = false;
  std::string error_;
  std::thread thread_;
};

}  // namespace strumwright::io
