// app/engine/live_run.cpp
#include "app/engine/live_run.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "app/io/clock.h"
#include "app/io/thread_priority.h"

namespace strumwright::engine {

namespace {

using session::Entry;

/// While something was played lately, deadlines are looked at this often (ours).
constexpr std::int64_t quick_tick_ns = 50'000'000;
/// Longer than every deadline but the hold limit: mode messages wait 1 s for their releases.
constexpr std::int64_t lively_ns = 1'500'000'000;
constexpr std::int64_t slow_tick_ns = 1'000'000'000;
/// One pass takes no more items than this before it publishes (ours).
constexpr int most_items = 4096;
constexpr std::int64_t longest_sleep_ns = std::int64_t{3600} * 1'000'000'000;

std::vector<session::SourceInfo> infos_of(const LiveRun::Sources& sources) {
  std::vector<session::SourceInfo> infos;
  infos.reserve(sources.size());
  for (const auto& source : sources) infos.push_back(source->info());
  return infos;
}

Entry entry_of(Entry::Kind kind, std::int64_t t_ns) {
  Entry entry;
  entry.kind = kind;
  entry.t_ns = t_ns;
  return entry;
}

std::int64_t lag_of(const LiveRun::Sources& sources) {
  std::int64_t lag_ns = 0;
  for (const auto& source : sources) lag_ns = std::max(lag_ns, source->lateness_ns());
  return lag_ns + wake_margin_ns + (sources.size() > 1 ? hold_back_ns : 0);
}

}  // namespace

LiveRun::LiveRun(RunSetup setup, Sources sources, session::Settings settings,
                 RecorderSetup recorder)
    : BenchRun(std::move(setup), infos_of(sources), settings),
      zero_ns_(io::now_ns()),
      merge_(sources.size(), bell_),
      sources_(std::move(sources)),
      lag_ns_(lag_of(sources_)),
      settings_(settings) {
  recorder.told = [this] {
    told_.store(true, std::memory_order_release);
    bell_.ring();
  };
  keeper_.fixed().link = Link::linked;
  keeper_.fixed().recording = recorder.recording.has_value();
  recorder_ = std::make_unique<Recorder>(std::move(recorder));
}

LiveRun::~LiveRun() { stop(); }

Result<Done> LiveRun::start() {
  for (std::size_t src = 0; src < sources_.size(); ++src) {
    if (auto started = sources_[src]->start(merge_.ring(src)); !started) return started;
  }
  start_thread();
  return Done{};
}

std::int64_t LiveRun::clock_ns() const {
  const std::int64_t end_ns = end_ns_.load(std::memory_order_relaxed);
  return end_ns >= 0 ? end_ns : io::now_ns() - zero_ns_;
}

// --- The bench thread ------------------------------------------------------------------------

void LiveRun::run() {
  io::run_promptly();
  while (!stopping()) {
    // The count first: what comes in while we look at the rings ends the wait at once.
    const std::uint32_t seen = bell_.count();
    step(io::now_ns());
    bell_.wait(seen, std::min(due_ns() - io::now_ns(), longest_sleep_ns));
  }
  finish();
}

void LiveRun::step(std::int64_t now_ns) {
  // What came before a command was given goes before it.
  const auto commands = take_commands();
  if (drain(now_ns)) dirty_ = true;
  for (const auto& command : commands) obey(command);
  if (!commands.empty()) dirty_ = true;
  const bool passed = tick(now_ns);
  const bool told = hear_recorder();
  if (dirty_ && now_ns - published_ns_ >= publish_gap_ns) {
    publish_now();
    published_ns_ = now_ns;
    dirty_ = false;
  } else if (passed || told) {
    publish_now();
  }
  // After the publication: the screen comes before the disk.
  hand_over();
}

std::int64_t LiveRun::due_ns() {
  std::int64_t due_ns = std::min(merge_.due_ns(), next_tick_ns_);
  if (dirty_) due_ns = std::min(due_ns, published_ns_ + publish_gap_ns);
  return due_ns;
}

void LiveRun::publish_now() {
  Now& now = keeper_.fixed();
  now.recording = recorder_->recording();
  now.spooling = recorder_->spooling();
  now.spool_from_ns = recorder_->spool_from_ns();
  now.shown_ns = floor_ns_;
  publish(clock_ns());
}

bool LiveRun::drain(std::int64_t now_ns) {
  int items = 0;
  for (; items < most_items; ++items) {
    const auto next = merge_.next(now_ns);
    if (!next) break;
    take(next->src, *next->item);
    merge_.pop(next->src);
  }
  if (items == 0) return false;
  last_entry_ns_ = now_ns;
  next_tick_ns_ = std::min(next_tick_ns_, now_ns + lag_ns_);
  if (items == most_items) bell_.ring();
  return true;
}

void LiveRun::take(std::size_t src, const io::StampedRing::Item& item) {
  using Kind = io::StampedRing::Kind;
  Entry entry = entry_of(Entry::Kind::chunk, item.t_ns - zero_ns_);
  entry.src = static_cast<std::uint16_t>(src);
  if (item.lost_before > 0) {
    Entry lost = entry;
    lost.kind = Entry::Kind::lost;
    lost.lost = static_cast<std::int64_t>(item.lost_before);
    enter(lost);
  }
  if (item.kind == Kind::lost) return;
  if (item.kind != Kind::chunk && !item.text().empty()) {
    say({item.kind != Kind::back, std::string(item.text()), {}});
  }
  if (item.kind == Kind::notice) return;
  if (item.kind == Kind::chunk) entry.bytes = item.bytes;
  if (item.kind == Kind::gone) entry.kind = Entry::Kind::gone;
  if (item.kind == Kind::back) entry.kind = Entry::Kind::back;
  enter(entry);
}

/// The one door: what the pipeline takes is what is recorded.
void LiveRun::enter(Entry entry) {
  entry.t_ns = std::max(entry.t_ns, floor_ns_);
  floor_ns_ = entry.t_ns;
  push(entry);
  fresh_.append(entry);
}

void LiveRun::hand_over() { recorder_->take(fresh_); }

/// Lets time pass as long as a deadline may be near; after that the thread sleeps until a byte.
bool LiveRun::tick(std::int64_t now_ns) {
  if (now_ns < next_tick_ns_) return false;
  const std::int64_t certain_ns = now_ns - zero_ns_ - lag_ns_;
  if (certain_ns > floor_ns_) {
    pipeline_.advance(certain_ns);
    floor_ns_ = certain_ns;
  }
  const std::int64_t quiet_ns = now_ns - last_entry_ns_;
  const auto hold_ns = static_cast<std::int64_t>(settings_.hold_limit_ms * 1e6) + lively_ns;
  const bool lively = quiet_ns < lively_ns;
  if (lively) {
    next_tick_ns_ = now_ns + quick_tick_ns;
  } else if (keeper_.fixed().held_count > 0 && quiet_ns < hold_ns) {
    next_tick_ns_ = now_ns + slow_tick_ns;
  } else {
    next_tick_ns_ = Merge::never_ns;
  }
  return keeper_.take_changed() || lively;
}

// --- Commands and notices --------------------------------------------------------------------

void LiveRun::obey(const Command& command) {
  Entry entry = entry_of(Entry::Kind::mark, command.t_ns);
  entry.text = command.text;
  switch (command.what) {
    case Command::What::mark:
      return enter(entry);
    case Command::What::keep:
      enter(entry);
      hand_over();
      return recorder_->keep(command.text, command.length_ns, floor_ns_);
    case Command::What::start_recording:
      hand_over();
      keeper_.fixed().recording_since_ns = command.t_ns;
      return recorder_->start_recording(command.file, command.t_ns);
    case Command::What::stop_recording:
      hand_over();
      return recorder_->stop_recording(std::max(command.t_ns, floor_ns_));
    case Command::What::settings:
      entry.kind = Entry::Kind::settings;
      entry.text = {};
      entry.settings = settings_ = command.settings;
      return enter(entry);
    case Command::What::say:
      return say({command.failed, command.text, command.file});
  }
}

bool LiveRun::hear_recorder() {
  if (!told_.exchange(false, std::memory_order_acquire)) return false;
  for (auto& notice : recorder_->take_notices()) say(std::move(notice));
  return true;
}

void LiveRun::finish() {
  const auto commands = take_commands();
  for (const auto& source : sources_) source->stop();
  while (const auto next = merge_.rest()) {
    take(next->src, *next->item);
    merge_.pop(next->src);
  }
  for (const auto& command : commands) obey(command);
  enter(entry_of(Entry::Kind::end, clock_ns()));
  end_ns_.store(floor_ns_, std::memory_order_relaxed);
  pipeline_.finish();
  publish_now();
  hand_over();
  recorder_->finish();
  told_ = true;
  if (hear_recorder()) publish_now();
}

}  // namespace strumwright::engine
