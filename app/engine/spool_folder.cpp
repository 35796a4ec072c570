// app/engine/spool_folder.cpp
#include "app/engine/spool_folder.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <memory>
#include <optional>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include "app/engine/capture_file.h"
#include "app/io/files.h"
#include "core/session/input_reader.h"

namespace strumwright::engine {

namespace fs = std::filesystem;

namespace {

constexpr const char* lock_name = "lock";
/// Text that gathers before it is written while joining (ours).
constexpr std::size_t join_batch_bytes = std::size_t{1} << 20U;

std::string stamp(std::int64_t unix_seconds, const char* format) {
  const auto seconds = static_cast<std::time_t>(unix_seconds);
  std::tm parts{};
  gmtime_r(&seconds, &parts);
  std::array<char, 32> text{};
  return {text.data(), std::strftime(text.data(), text.size(), format, &parts)};
}

/// The folder's lock, or -1 if another process holds it.
int take_lock(const fs::path& folder) {
  const int lock = ::open((folder / lock_name).c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (lock < 0) return -1;
  if (::flock(lock, LOCK_EX | LOCK_NB) == 0) return lock;
  ::close(lock);
  return -1;
}

std::vector<fs::path> segments_in(const fs::path& folder) {
  std::vector<fs::path> found;
  std::error_code code;
  for (const auto& item : fs::directory_iterator(folder, code)) {
    if (item.path().extension() == ".jsonl") found.push_back(item.path());
  }
  std::sort(found.begin(), found.end());
  return found;
}

/// A segment being read.
struct OpenSegment {
  std::unique_ptr<io::FileSource> bytes;
  std::unique_ptr<session::InputReader> reader;
};

Result<OpenSegment> open_segment(const fs::path& path) {
  auto bytes = io::FileSource::open(path.string());
  if (!bytes) return bytes.error();
  OpenSegment segment;
  segment.bytes = std::move(*bytes);
  auto reader = session::open_input(session::InputKind::capture, path.string(), *segment.bytes);
  if (!reader) return reader.error();
  segment.reader = std::move(*reader);
  return segment;
}

/// A stretch of a session on its way into one file.
class Join {
 public:
  Join(Stretch stretch, fs::path to) : stretch_(std::move(stretch)), to_(std::move(to)) {}

  Result<Done> add(const fs::path& segment_path) {
    auto segment = open_segment(segment_path);
    if (!segment) {
      ++joined_.spoiled;
      return Done{};
    }
    if (!file_) {
      auto header = segment->reader->header();
      if (!stretch_.started.empty()) header.started = stretch_.started;
      auto file = CaptureFile::create(to_, header, stretch_.from_ns);
      if (!file) return file.error();
      file_.emplace(std::move(*file));
    }
    return copy(*segment->reader);
  }

  Result<Joined> close() {
    if (!file_) {
      return Error{"the spool holds nothing yet", to_.string(), "play something first"};
    }
    if (auto closed = file_->close(); !closed) return closed.error();
    return joined_;
  }

 private:
  Result<Done> copy(session::InputReader& reader) {
    for (;;) {
      auto entry = reader.next();
      if (!entry) ++joined_.spoiled;
      if (!entry || !*entry) return Done{};
      const auto& found = **entry;
      const bool stands = found.kind == session::Entry::Kind::settings;
      if (found.t_ns > stretch_.until_ns || (found.t_ns < stretch_.from_ns && !stands)) continue;
      file_->add(found);
      if (file_->waiting_bytes() < join_batch_bytes) continue;
      if (auto wrote = file_->write_out(); !wrote) return wrote;
    }
  }

  Stretch stretch_;
  fs::path to_;
  Joined joined_;
  std::optional<CaptureFile> file_;
};

Result<Joined> join_to(const fs::path& to, const std::vector<fs::path>& segments, Stretch stretch) {
  Join join(std::move(stretch), to);
  for (const auto& segment : segments) {
    if (auto added = join.add(segment); !added) return added.error();
  }
  return join.close();
}

/// "2026-01-31T18:00:00Z" from a folder's name, "20260131-180000-4711".
std::string started_of(const std::string& name) {
  if (name.size() < 15) return name;
  return name.substr(0, 4) + "-" + name.substr(4, 2) + "-" + name.substr(6, 2) + "T" +
         name.substr(9, 2) + ":" + name.substr(11, 2) + ":" + name.substr(13, 2) + "Z";
}

}  // namespace

std::string file_stamp(std::int64_t unix_seconds) { return stamp(unix_seconds, "%Y%m%d-%H%M%S"); }

std::string iso_stamp(std::int64_t unix_seconds) {
  return stamp(unix_seconds, "%Y-%m-%dT%H:%M:%SZ");
}

std::string file_word(std::string_view label) {
  constexpr std::size_t most = 40;
  std::string word;
  for (const char letter : label) {
    const bool plain = (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') ||
                       (letter >= '0' && letter <= '9');
    if (plain) {
      word += letter;
    } else if (!word.empty() && word.back() != '-') {
      word += '-';
    }
    if (word.size() == most) break;
  }
  while (!word.empty() && word.back() == '-') word.pop_back();
  return word;
}

Result<SpoolFolder> SpoolFolder::create(const fs::path& data_directory, std::int64_t unix_seconds) {
  const fs::path spool = data_directory / "spool";
  const std::string name = file_stamp(unix_seconds) + "-" + std::to_string(::getpid());
  std::error_code code;
  fs::create_directories(spool, code);
  // A second session within one second takes the next name.
  for (int turn = 0; !code && turn < 100; ++turn) {
    const fs::path folder = spool / (turn == 0 ? name : name + "-" + std::to_string(turn));
    if (!fs::create_directory(folder, code) || code) continue;
    const int lock = take_lock(folder);
    if (lock < 0) code = std::error_code(errno, std::generic_category());
    if (lock >= 0) return SpoolFolder(folder, lock);
  }
  return Error{"cannot make the spool" + (code ? ": " + code.message() : std::string()),
               spool.string(), "make room there or turn the spool off"};
}

SpoolFolder::SpoolFolder(fs::path folder, int lock) : folder_(std::move(folder)), lock_(lock) {}

SpoolFolder::SpoolFolder(SpoolFolder&& other) noexcept
    : folder_(std::move(other.folder_)),
      lock_(std::exchange(other.lock_, -1)),
      segments_(std::move(other.segments_)) {}

SpoolFolder::~SpoolFolder() {
  if (lock_ < 0) return;
  std::error_code code;
  fs::remove_all(folder_, code);
  ::close(lock_);
}

fs::path SpoolFolder::add_segment(std::int64_t t_ns) {
  std::string name = std::to_string(t_ns);
  name.insert(0, 19 - std::min<std::size_t>(19, name.size()), '0');
  segments_.push_back({t_ns, folder_ / (name + ".jsonl")});
  return segments_.back().path;
}

void SpoolFolder::drop_before(std::int64_t t_ns) {
  while (segments_.size() > 1 && segments_[1].start_ns <= t_ns) {
    std::error_code code;
    fs::remove(segments_.front().path, code);
    segments_.erase(segments_.begin());
  }
}

std::vector<fs::path> SpoolFolder::segments() const {
  std::vector<fs::path> paths;
  paths.reserve(segments_.size());
  for (const auto& segment : segments_) paths.push_back(segment.path);
  return paths;
}

std::int64_t SpoolFolder::from_ns(std::int64_t t_ns) const {
  return segments_.empty() ? t_ns : segments_.front().start_ns;
}

Result<Joined> join_segments(const std::vector<fs::path>& segments, Stretch stretch,
                             const fs::path& to) {
  fs::path part = to;
  part += ".part";
  const auto joined = join_to(part, segments, std::move(stretch));
  std::error_code code;
  if (!joined) {
    fs::remove(part, code);
    return joined;
  }
  fs::rename(part, to, code);
  if (code) return Error{"cannot name the file: " + code.message(), to.string(), "try again"};
  return joined;
}

std::vector<LeftSpool> find_left_spools(const fs::path& data_directory) {
  std::vector<LeftSpool> left;
  std::error_code code;
  for (const auto& item : fs::directory_iterator(data_directory / "spool", code)) {
    if (!item.is_directory(code)) continue;
    const int lock = take_lock(item.path());
    if (lock < 0) continue;
    LeftSpool spool{item.path(), started_of(item.path().filename().string()), 0};
    for (const auto& segment : segments_in(item.path())) {
      const auto size = fs::file_size(segment, code);
      if (!code) spool.size_bytes += size;
    }
    if (spool.size_bytes > 0) left.push_back(std::move(spool));
    ::close(lock);
  }
  std::sort(left.begin(), left.end(),
            [](const auto& a, const auto& b) { return a.folder < b.folder; });
  return left;
}

Result<fs::path> recover_spool(const fs::path& data_directory, const fs::path& folder) {
  const int lock = take_lock(folder);
  if (lock < 0) {
    return Error{"this spool is in use", folder.string(), "close the program that writes it"};
  }
  const fs::path to = data_directory / "kept" / (folder.filename().string() + "-recovered.jsonl");
  const auto joined = join_segments(segments_in(folder), {}, to);
  ::close(lock);
  if (!joined) return joined.error();
  if (auto gone = discard_spool(folder); !gone) return gone.error();
  return to;
}

Result<Done> discard_spool(const fs::path& folder) {
  std::error_code code;
  fs::remove_all(folder, code);
  if (!code) return Done{};
  return Error{"cannot remove the spool: " + code.message(), folder.string(), "remove it by hand"};
}

}  // namespace strumwright::engine
