// app/io/sender.cpp
#include "app/io/sender.h"

#include <algorithm>
#include <chrono>
#include <csignal>
#include <utility>

#include "app/io/clock.h"
#include "app/io/thread_priority.h"

namespace strumwright::io {

namespace {

constexpr std::int64_t tend_ns = 1'000'000'000;

std::chrono::steady_clock::time_point to_time(std::int64_t t_ns) {
  return std::chrono::steady_clock::time_point(std::chrono::nanoseconds(t_ns));
}

/// A reader that closed a FIFO is an error of that write, not the end of the program.
void block_signals() {
  sigset_t all;
  sigfillset(&all);
  pthread_sigmask(SIG_BLOCK, &all, nullptr);
}

}  // namespace

Sender::Sender(std::unique_ptr<Output> output, StampedRing* sent)
    : name_(output->name()), output_(std::move(output)), sent_(sent) {
  thread_ = std::thread([this] { run(); });
}

Sender::~Sender() {
  release_all();
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void Sender::send(std::span<const std::uint8_t> bytes) { send_at(now_ns(), bytes); }

void Sender::send_at(std::int64_t t_ns, std::span<const std::uint8_t> bytes) {
  add({Task::bytes, t_ns, {bytes.begin(), bytes.end()}});
}

void Sender::release_all() {
  const auto t_ns = now_ns();
  {
    const std::lock_guard lock(mutex_);
    std::erase_if(jobs_,
                  [&](const Job& job) { return job.task == Task::bytes && job.t_ns > t_ns; });
    // Who drains waits for nothing later any more.
    for (auto& job : jobs_) job.t_ns = std::min(job.t_ns, t_ns);
  }
  add({Task::release, t_ns, {}});
}

void Sender::drain() {
  std::unique_lock lock(mutex_);
  const std::uint64_t mine = ++flushes_asked_;
  jobs_.push_back({Task::flush, jobs_.empty() ? 0 : jobs_.back().t_ns, {}});
  changed_.notify_all();
  changed_.wait(lock, [&] { return flushes_done_ >= mine; });
}

std::string Sender::take_error() {
  const std::lock_guard lock(mutex_);
  return std::exchange(error_, {});
}

void Sender::add(Job job) {
  const std::lock_guard lock(mutex_);
  const auto place = std::upper_bound(jobs_.begin(), jobs_.end(), job,
                                      [](const Job& a, const Job& b) { return a.t_ns < b.t_ns; });
  jobs_.insert(place, std::move(job));
  changed_.notify_all();
}

void Sender::run() {
  block_signals();
  run_promptly();
  std::unique_lock lock(mutex_);
  while (!jobs_.empty() || !closing_) {
    const auto due_ns = jobs_.empty() ? INT64_MAX : jobs_.front().t_ns - output_->lead_ns();
    if (due_ns > now_ns()) {
      wait_until(std::min(due_ns, tended_ns_ + tend_ns), lock);
      continue;
    }
    const Job job = std::move(jobs_.front());
    jobs_.pop_front();
    lock.unlock();
    perform(job);
    lock.lock();
    if (job.task != Task::flush) continue;
    ++flushes_done_;
    changed_.notify_all();
  }
}

void Sender::wait_until(std::int64_t t_ns, std::unique_lock<std::mutex>& lock) {
  changed_.wait_until(lock, to_time(t_ns));
  if (now_ns() < tended_ns_ + tend_ns) return;
  tended_ns_ = now_ns();
  lock.unlock();
  output_->tend();
  lock.lock();
}

void Sender::perform(const Job& job) {
  switch (job.task) {
    case Task::bytes:
      transmit(std::max(job.t_ns, now_ns() - output_->lead_ns()), job.bytes);
      break;
    case Task::release:
      release();
      break;
    case Task::flush:
      output_->flush();
      break;
  }
}

void Sender::release() {
  const auto t_ns = now_ns();
  cutter_.finish([](std::span<const std::uint8_t>) {});  // a torn message is not to be completed
  for (const auto& message : notes_.release()) transmit(t_ns, message);
  static_cast<void>(notes_.release());  // these messages themselves need no release
  output_->flush();
}

void Sender::transmit(std::int64_t t_ns, std::span<const std::uint8_t> bytes) {
  cutter_.push(bytes, [&](std::span<const std::uint8_t> piece) {
    notes_.push(piece);
    if (!output_->raw()) send_piece(t_ns, piece);
  });
  if (output_->raw()) send_piece(t_ns, bytes);
}

void Sender::send_piece(std::int64_t t_ns, std::span<const std::uint8_t> piece) {
  const auto done = output_->send(t_ns, piece);
  if (done) {
    notice_.clear();
    if (sent_ != nullptr) sent_->push(t_ns, piece);
    return;
  }
  std::string text = done.error().where + ": " + done.error().what;
  {
    const std::lock_guard lock(mutex_);
    if (error_.empty()) error_ = text;
  }
  if (text == notice_) return;
  notice_ = std::move(text);
  if (sent_ != nullptr) sent_->push_status(StampedRing::Kind::notice, now_ns(), notice_);
}

}  // namespace strumwright::io
