// app/engine/recorder.cpp
#include "app/engine/recorder.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "app/io/clock.h"

namespace strumwright::engine {

namespace {

using session::Entry;

/// Entries gather this long before they are written: at most 200 ms behind, disk included (ours).
constexpr auto gather = std::chrono::milliseconds(100);
constexpr std::int64_t sync_every_ns = 1'000'000'000;
/// How long the spool pauses after its disk failed (ours).
constexpr std::int64_t retry_after_ns = 5'000'000'000;

Entry entry_of(Entry::Kind kind, std::int64_t t_ns) {
  Entry entry;
  entry.kind = kind;
  entry.t_ns = t_ns;
  return entry;
}

std::string length_text(std::int64_t length_ns) {
  const std::int64_t seconds = length_ns / 1'000'000'000;
  if (seconds >= 60)
    return std::to_string(seconds / 60) + " min " + std::to_string(seconds % 60) + " s";
  return std::to_string(seconds) + " s";
}

}  // namespace

Recorder::Recorder(RecorderSetup setup)
    : setup_(std::move(setup)),
      recording_(setup_.recording.has_value()),
      record_(std::exchange(setup_.recording, std::nullopt)),
      settings_(setup_.settings),
      thread_([this] { run(); }) {}

Recorder::~Recorder() { finish(); }

// --- From other threads ----------------------------------------------------------------------

void Recorder::take(EntryLog& entries) {
  if (entries.empty()) return;
  const std::lock_guard lock(mutex_);
  if (mail_.entries.size_bytes() > recorder_most_bytes) {
    entries.for_each(
        [this](const Entry& entry, std::size_t) { mail_.dropped_bytes += entry.bytes.size(); });
    entries.clear();
    return;
  }
  const bool first = mail_.entries.empty();
  mail_.entries.take(entries);
  if (first) wake_.notify_one();
}

void Recorder::post(Order order) {
  const std::lock_guard lock(mutex_);
  order.place = mail_.entries.size_bytes();
  mail_.orders.push_back(std::move(order));
  wake_.notify_one();
}

void Recorder::start_recording(std::filesystem::path file, std::int64_t t_ns) {
  post({Order::What::start, std::move(file), {}, 0, t_ns, 0});
}

void Recorder::stop_recording(std::int64_t t_ns) { post({Order::What::stop, {}, {}, 0, t_ns, 0}); }

void Recorder::keep(std::string_view label, std::int64_t length_ns, std::int64_t t_ns) {
  post({Order::What::keep, {}, std::string(label), length_ns, t_ns, 0});
}

void Recorder::finish() {
  if (!thread_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    mail_.finish = true;
    wake_.notify_one();
  }
  thread_.join();
}

std::vector<Notice> Recorder::take_notices() {
  const std::lock_guard lock(mutex_);
  return std::exchange(notices_, {});
}

void Recorder::tell(Notice notice) {
  {
    const std::lock_guard lock(mutex_);
    notices_.push_back(std::move(notice));
  }
  if (setup_.told) setup_.told();
}

// --- The thread ------------------------------------------------------------------------------

void Recorder::run() {
  if (setup_.spool && !setup_.data_directory.empty()) {
    auto folder = SpoolFolder::create(setup_.data_directory, setup_.unix_start_seconds);
    if (folder) {
      spool_.emplace(std::move(*folder));
      spooling_ = true;
    } else {
      tell(notice_of(folder.error()));
    }
  }
  Mail mail;
  bool go_on = true;
  while (go_on) {
    go_on = wait_for_mail(mail);
    handle(mail);
    flush(io::now_ns());
  }
  if (record_) end_recording(std::nullopt);
  segment_.reset();
  spool_.reset();
  spooling_ = false;
}

/// Swaps the mail out; false if it is the last.
bool Recorder::wait_for_mail(Mail& mail) {
  mail.entries.clear();
  mail.orders.clear();
  std::unique_lock lock(mutex_);
  const auto any = [this] {
    return !mail_.entries.empty() || !mail_.orders.empty() || mail_.finish;
  };
  const auto urgent = [this] { return !mail_.orders.empty() || mail_.finish; };
  if (unsynced_) {
    wake_.wait_for(lock, std::chrono::nanoseconds(sync_every_ns), any);
  } else {
    wake_.wait(lock, any);
  }
  // One write for what comes close together.
  if (any() && !urgent()) wake_.wait_for(lock, gather, urgent);
  std::swap(mail.entries, mail_.entries);
  std::swap(mail.orders, mail_.orders);
  mail.dropped_bytes = std::exchange(mail_.dropped_bytes, 0);
  return !mail_.finish;
}

void Recorder::handle(const Mail& mail) {
  auto order = mail.orders.begin();
  mail.entries.for_each([&](const Entry& entry, std::size_t place) {
    for (; order != mail.orders.end() && order->place <= place; ++order) handle(*order);
    write(entry);
  });
  for (; order != mail.orders.end(); ++order) handle(*order);
  if (mail.dropped_bytes == 0) return;
  // What did not fit came after what did.
  Entry gap = entry_of(Entry::Kind::lost, latest_ns_);
  gap.lost = static_cast<std::int64_t>(mail.dropped_bytes);
  write(gap);
  tell({true,
        "The disk is too slow: the recording lacks " + std::to_string(gap.lost) + " bytes.",
        {}});
}

void Recorder::handle(const Order& order) {
  switch (order.what) {
    case Order::What::start:
      return begin_recording(order);
    case Order::What::stop:
      return end_recording(order.t_ns);
    case Order::What::keep:
      return keep_stretch(order);
  }
}

void Recorder::write(const Entry& entry) {
  latest_ns_ = entry.t_ns;
  if (entry.kind == Entry::Kind::settings) settings_ = entry.settings;
  if (record_) record_->add(entry);
  if (spool_) write_to_spool(entry);
}

void Recorder::flush(std::int64_t now_ns) {
  const bool waits =
      (record_ && record_->waiting_bytes() > 0) || (segment_ && segment_->waiting_bytes() > 0);
  unsynced_ = unsynced_ || waits;
  const bool sync = unsynced_ && now_ns - synced_ns_ >= sync_every_ns;
  if (const auto flushed = flush_file(record_, sync); !flushed) recording_failed(flushed.error());
  if (const auto flushed = flush_file(segment_, sync); !flushed) spool_failed(flushed.error());
  unwritten_bytes_ = 0;
  if (!sync) return;
  synced_ns_ = now_ns;
  unsynced_ = false;
}

Result<Done> Recorder::flush_file(std::optional<CaptureFile>& file, bool sync) const {
  if (!file) return Done{};
  if (file->waiting_bytes() > 0) {
    if (auto wrote = file->write_out(); !wrote) return wrote;
  }
  return sync ? file->sync() : Result<Done>(Done{});
}

// --- The spool -------------------------------------------------------------------------------

void Recorder::write_to_spool(const Entry& entry) {
  if (segment_ && entry.t_ns - segment_start_ns_ >= spool_segment_ns) close_segment();
  if (!segment_ && !open_segment(entry.t_ns)) {
    paused_bytes_ += static_cast<std::int64_t>(entry.bytes.size());
    return;
  }
  segment_->add(entry);
  unwritten_bytes_ += static_cast<std::int64_t>(entry.bytes.size());
}

bool Recorder::open_segment(std::int64_t t_ns) {
  if (io::now_ns() < retry_spool_ns_) return false;
  spool_->drop_before(t_ns - spool_length_ns);
  auto file = CaptureFile::create(spool_->add_segment(t_ns), setup_.header, 0);
  if (!file) {
    spool_failed(file.error());
    return false;
  }
  segment_.emplace(std::move(*file));
  segment_start_ns_ = t_ns;
  spool_from_ns_ = spool_->from_ns(t_ns);
  if (!spooling_.exchange(true)) tell({false, "The spool works again.", {}});
  if (settings_ != session::Settings{}) {
    Entry stands = entry_of(Entry::Kind::settings, t_ns);
    stands.settings = settings_;
    segment_->add(stands);
  }
  if (paused_bytes_ > 0) {
    Entry gap = entry_of(Entry::Kind::lost, t_ns);
    gap.lost = std::exchange(paused_bytes_, 0);
    segment_->add(gap);
  }
  return true;
}

void Recorder::close_segment() {
  if (const auto closed = segment_->close(); !closed) spool_failed(closed.error());
  segment_.reset();
  unwritten_bytes_ = 0;
}

/// What was written stays; after a while a new segment is tried.
void Recorder::spool_failed(const Error& error) {
  segment_.reset();
  paused_bytes_ += std::exchange(unwritten_bytes_, 0);
  retry_spool_ns_ = io::now_ns() + retry_after_ns;
  if (spooling_.exchange(false)) tell(notice_of(error));
}

// --- Recording and keeping -------------------------------------------------------------------

void Recorder::begin_recording(const Order& order) {
  if (record_) end_recording(order.t_ns);
  auto header = setup_.header;
  header.started = iso_stamp(setup_.unix_start_seconds + order.t_ns / 1'000'000'000);
  auto file = CaptureFile::create(order.file, header, order.t_ns);
  if (!file) return tell(notice_of(file.error()));
  record_.emplace(std::move(*file));
  recording_ = true;
  tell({false, "Recording to " + order.file.string() + ".", {}});
  if (settings_ == session::Settings{}) return;
  Entry stands = entry_of(Entry::Kind::settings, order.t_ns);
  stands.settings = settings_;
  record_->add(stands);
}

/// With a time the recording gets an end of its own; else the session's end stands in it.
void Recorder::end_recording(std::optional<std::int64_t> t_ns) {
  if (!record_) return;
  if (t_ns) record_->add(entry_of(Entry::Kind::end, *t_ns));
  const auto closed = record_->close();
  if (!closed) return recording_failed(closed.error());
  recording_ = false;
  Notice notice{false, "Recorded to " + record_->path().string() + ".", record_->path()};
  record_.reset();
  tell(std::move(notice));
}

void Recorder::recording_failed(const Error& error) {
  record_.reset();
  recording_ = false;
  auto notice = notice_of(error);
  notice.text = "The recording ended: " + notice.text;
  tell(std::move(notice));
}

void Recorder::keep_stretch(const Order& order) {
  const std::string stamp = file_stamp(setup_.unix_start_seconds + order.t_ns / 1'000'000'000);
  const std::string word = file_word(order.label);
  const auto name = stamp + (word.empty() ? "" : "-" + word) + ".jsonl";
  const auto to = setup_.data_directory / "kept" / name;
  const auto joined = join_kept(order, to);
  if (!joined) {
    auto notice = notice_of(joined.error());
    notice.text = "Nothing was kept: " + notice.text;
    return tell(std::move(notice));
  }
  std::string text =
      "Kept the last " + length_text(std::min(order.length_ns, order.t_ns)) + " as " + name + ".";
  if (joined->spoiled > 0) text += " A part of the spool could not be read.";
  tell({false, std::move(text), to});
}

Result<Joined> Recorder::join_kept(const Order& order, const std::filesystem::path& to) {
  if (!spool_) return Error{"the spool is off", "", "turn it on in the settings, or record"};
  if (segment_) {
    if (auto wrote = segment_->write_out(); !wrote) return wrote.error();
  }
  const std::int64_t from_ns = std::max<std::int64_t>(0, order.t_ns - order.length_ns);
  const std::string started = iso_stamp(setup_.unix_start_seconds + from_ns / 1'000'000'000);
  return join_segments(spool_->segments(), {from_ns, order.t_ns, started}, to);
}

}  // namespace strumwright::engine
