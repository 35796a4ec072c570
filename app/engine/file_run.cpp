// app/engine/file_run.cpp
#include "app/engine/file_run.h"

#include <algorithm>
#include <string>
#include <utility>

#include "app/io/clock.h"

namespace strumwright::engine {

namespace {

/// Entries between two looks at the clock (ours).
constexpr int entries_a_look = 256;
/// How often progress is shown (ours).
constexpr std::int64_t progress_gap_ns = 50'000'000;

}  // namespace

Result<OpenedRecording> open_recording_file(const std::filesystem::path& file,
                                            session::InputKind kind) {
  auto bytes = io::FileSource::open(file.string());
  if (!bytes) return bytes.error();
  OpenedRecording opened;
  opened.bytes = std::move(*bytes);
  auto reader = session::open_input(kind, file.string(), *opened.bytes);
  if (!reader) return reader.error();
  opened.reader = std::move(*reader);
  return opened;
}

FileRun::FileRun(RunSetup setup, OpenedRecording recording)
    : BenchRun(std::move(setup), recording.reader->header().sources, session::Settings{}),
      recording_(std::move(recording)) {
  keeper_.fixed().from_file = true;
  keeper_.fixed().link = Link::linked;
}

FileRun::~FileRun() { stop(); }

void FileRun::run() {
  std::int64_t shown_ns = io::now_ns();
  while (!stopping() && read_some()) {
    if (io::now_ns() - shown_ns < progress_gap_ns) continue;
    publish_read();
    shown_ns = io::now_ns();
  }
  finish();
}

/// False at the end.
bool FileRun::read_some() {
  for (int i = 0; i < entries_a_look; ++i) {
    auto entry = recording_.reader->next();
    if (!entry) {
      say(notice_of(entry.error()));
      return false;
    }
    if (!*entry) return false;
    push(**entry);
    read_to_ns_.store((*entry)->t_ns, std::memory_order_relaxed);
  }
  return true;
}

void FileRun::finish() {
  if (const auto torn = recording_.reader->torn_at()) {
    say({true,
         "The last line is torn at byte " + std::to_string(*torn) + " and was left out.",
         {}});
  }
  pipeline_.finish();
  Now& now = keeper_.fixed();
  now.link = Link::ended;
  const std::int64_t end_ns = std::max(clock_ns(), pipeline_.duration_ns().value_or(0));
  now.link_since_ns = end_ns;
  read_to_ns_.store(end_ns, std::memory_order_relaxed);
  publish_read();
}

void FileRun::publish_read() {
  keeper_.fixed().shown_ns = clock_ns();
  publish(clock_ns());
}

}  // namespace strumwright::engine
