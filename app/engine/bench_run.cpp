// app/engine/bench_run.cpp
#include "app/engine/bench_run.h"

#include <utility>

namespace strumwright::engine {

namespace {

/// Notices that nobody fetches do not pile up (ours).
constexpr std::size_t most_notices = 64;

}  // namespace

BenchRun::BenchRun(RunSetup setup, const std::vector<session::SourceInfo>& sources,
                   session::Settings settings)
    : setup_(std::move(setup)),
      keeper_(sources, history_, setup_.listener),
      pipeline_(sources, settings, keeper_),
      version_(setup_.version) {
  Now& now = keeper_.fixed();
  now.epoch = setup_.epoch;
  now.source_name.set(setup_.name);
  now.source_detail.set(setup_.detail);
  for (const auto& source : sources) now.simulated = now.simulated || source.simulated;
}

BenchRun::~BenchRun() = default;

void BenchRun::start_thread() {
  thread_ = std::thread([this] {
    run();
    ended_.store(true, std::memory_order_release);
    if (setup_.wake) setup_.wake();
  });
}

void BenchRun::stop() {
  stop_.store(true, std::memory_order_relaxed);
  bell_.ring();
  if (thread_.joinable()) thread_.join();
}

const Now& BenchRun::now() {
  // Before the fetch: what is published from here on wakes again.
  wake_asked_.store(false, std::memory_order_seq_cst);
  buffer_.fetch();
  return buffer_.front();
}

void BenchRun::publish(std::int64_t t_ns) {
  Now& now = buffer_.back();
  keeper_.fill(pipeline_, t_ns, now);
  const std::uint64_t version = version_.load(std::memory_order_relaxed) + 1;
  now.version = version;
  buffer_.publish();
  version_.store(version, std::memory_order_release);
  if (setup_.wake && !wake_asked_.exchange(true, std::memory_order_seq_cst)) setup_.wake();
}

void BenchRun::push(const session::Entry& entry) {
  keeper_.entry(entry);
  pipeline_.push(entry);
}

void BenchRun::ask(Command command) {
  {
    const std::lock_guard lock(mutex_);
    commands_.push_back(std::move(command));
  }
  bell_.ring();
}

std::vector<Command> BenchRun::take_commands() {
  const std::lock_guard lock(mutex_);
  return std::exchange(commands_, {});
}

void BenchRun::say(Notice notice) {
  keeper_.say(notice.text);
  if (setup_.log != nullptr) {
    notice.failed ? setup_.log->warning(notice.text) : setup_.log->info(notice.text);
  }
  const std::lock_guard lock(mutex_);
  if (notices_.size() == most_notices) notices_.erase(notices_.begin());
  notices_.push_back(std::move(notice));
}

std::vector<Notice> BenchRun::take_notices() {
  const std::lock_guard lock(mutex_);
  return std::exchange(notices_, {});
}

}  // namespace strumwright::engine
