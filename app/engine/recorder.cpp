// app/engine/recorder.cpp
#include "app/engine/recorder.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "app/engine/stamp.h"
#include "app/io/clock.h"
#include "core/session/capture_writer.h"

namespace strumwright::engine {

namespace {

using session::Entry;

/// Entries gather this long before they are written: at most 200 ms behind, disk included (ours).
constexpr auto gather = std::chrono::milliseconds(100);
constexpr std::int64_t sync_every_ns = 1'000'000'000;

Entry entry_of(Entry::Kind kind, std::int64_t t_ns) {
  Entry entry;
  entry.kind = kind;
  entry.t_ns = t_ns;
  return entry;
}

/// "NAME.jsonl", or "NAME-2.jsonl" and so on where that is taken: a second *Keep* within a second.
std::filesystem::path free_path(const std::filesystem::path& folder, const std::string& name) {
  auto path = folder / (name + ".jsonl");
  for (int turn = 2; std::filesystem::exists(path); ++turn) {
    path = folder / (name + "-" + std::to_string(turn) + ".jsonl");
  }
  return path;
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
  told();
}

void Recorder::told() const {
  if (setup_.told) setup_.told();
}

// --- The thread ------------------------------------------------------------------------------

void Recorder::run() {
  if (setup_.spool && !setup_.data_directory.empty()) open_spool();
  if (record_) state_settings(0);
  Mail mail;
  bool go_on = true;
  while (go_on) {
    go_on = wait_for_mail(mail);
    handle(mail);
    unsynced_ = unsynced_ || !mail.entries.empty();
    flush(io::now_ns());
  }
  if (record_) end_recording(std::nullopt);
  spool_.reset();
  spooling_ = false;
}

void Recorder::open_spool() {
  auto folder = SpoolFolder::create(setup_.data_directory, setup_.unix_start_seconds, setup_.header,
                                    setup_.settings);
  if (!folder) return tell(notice_of(folder.error()));
  spool_.emplace(std::move(*folder));
  spooling_ = true;
  told();
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
  if (record_) session::append_line(entry, record_->text());
  if (!spool_) return;
  if (const auto pushed = spool_->push(entry); !pushed) spool_failed(pushed.error());
  spool_from_ns_ = spool_->from_ns();
}

void Recorder::flush(std::int64_t now_ns) {
  const bool sync = unsynced_ && now_ns - synced_ns_ >= sync_every_ns;
  if (record_) {
    auto wrote = record_->write_out();
    if (wrote && sync) wrote = record_->sync();
    if (!wrote) recording_failed(wrote.error());
  }
  if (spool_) {
    if (const auto wrote = spool_->write_out(sync); !wrote) spool_failed(wrote.error());
    if (spool_->works() && !spooling_.exchange(true)) tell({false, "The spool works again.", {}});
  }
  if (!sync) return;
  synced_ns_ = now_ns;
  unsynced_ = false;
}

void Recorder::spool_failed(const Error& error) {
  if (spooling_.exchange(false)) tell(notice_of(error));
}

// --- Recording and keeping -------------------------------------------------------------------

/// Settings that are not the usual ones stand at the start of a recording.
void Recorder::state_settings(std::int64_t t_ns) {
  if (settings_ == session::Settings{}) return;
  Entry stands = entry_of(Entry::Kind::settings, t_ns);
  stands.settings = settings_;
  session::append_line(stands, record_->text());
}

void Recorder::begin_recording(const Order& order) {
  if (record_) end_recording(order.t_ns);
  auto file = DiskFile::create(order.file);
  if (!file) return tell(notice_of(file.error()));
  record_.emplace(std::move(*file));
  record_->text() = session::header_line(setup_.header);
  state_settings(order.t_ns);
  recording_ = true;
  tell({false, "Recording to " + order.file.string() + ".", {}});
}

/// With a time the recording gets an end of its own; else the session's end stands in it.
void Recorder::end_recording(std::optional<std::int64_t> t_ns) {
  if (!record_) return;
  if (t_ns) session::append_line(entry_of(Entry::Kind::end, *t_ns), record_->text());
  if (const auto closed = record_->close(); !closed) return recording_failed(closed.error());
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
  const auto to =
      free_path(setup_.data_directory / "kept", stamp + (word.empty() ? "" : "-" + word));
  const std::int64_t from_ns = std::max<std::int64_t>(0, order.t_ns - order.length_ns);
  Result<session::Joined> joined =
      Error{"the spool is off", "", "turn it on in the settings, or record"};
  if (spool_) joined = spool_->join(from_ns, order.t_ns, to);
  if (!joined) {
    auto notice = notice_of(joined.error());
    notice.text = "Nothing was kept: " + notice.text;
    return tell(std::move(notice));
  }
  std::string text = "Kept the last " + length_text(order.t_ns - joined->first_ns) + " as " +
                     to.filename().string() + ".";
  for (const auto& remark : joined->remarks) text += " " + remark + ".";
  tell({false, std::move(text), to});
}

}  // namespace strumwright::engine
