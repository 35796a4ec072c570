// app/io/sender.h
#pragma once

#include <condition_variable>
#include <cstdint>
#include <deque>
#include <memory>
#include <mutex>
#include <span>
#include <string>
#include <thread>
#include <vector>

#include "app/io/message_cutter.h"
#include "app/io/output.h"
#include "app/io/sent_notes.h"
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

  [[nodiscard]] const std::string& name() const { return name_; }

  /// Whole messages, with status bytes or running status, now: before all that waits for its time.
  void send(std::span<const std::uint8_t> bytes);

  /// The same at a time of the monotonic clock. In order of time, then of the calls; a time that
  /// has gone by means now.
  void send_at(std::int64_t t_ns, std::span<const std::uint8_t> bytes);

  /// A note-off for each note that we started and did not end, the pedal up where we put it
  /// down, and all-notes-off (CC 123) on each channel that we played. What still waits for its time
  /// is dropped.
  void release_all();

  /// Returns when all that was handed over before has gone out.
  void drain();

  /// The first error of the output since the last call, empty if none.
  [[nodiscard]] std::string take_error();

 private:
  enum class Task : std::uint8_t { bytes, release, flush };
  struct Job {
    Task task = Task::bytes;
    std::int64_t t_ns = 0;
    std::vector<std::uint8_t> bytes;
  };

  void add(Job job);
  void run();
  void wait_until(std::int64_t t_ns, std::unique_lock<std::mutex>& lock);
  void perform(const Job& job);
  void release();
  void transmit(std::int64_t t_ns, std::span<const std::uint8_t> bytes);
  void send_piece(std::int64_t t_ns, std::span<const std::uint8_t> piece);

  std::string name_;
  std::unique_ptr<Output> output_;
  StampedRing* sent_;

  // The thread's own.
  MessageCutter cutter_;
  SentNotes notes_;
  std::int64_t tended_ns_ = 0;
  std::string notice_;  ///< told already: a port that is gone is one notice, not one a message

  std::mutex mutex_;  // guards what follows
  std::condition_variable changed_;
  std::deque<Job> jobs_;
  std::uint64_t flushes_asked_ = 0;
  std::uint64_t flushes_done_ = 0;
  bool closing_ = false;
  std::string error_;

  std::thread thread_;
};

}  // namespace strumwright::io
