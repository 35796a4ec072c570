// app/engine/spool_folder.cpp
#include "app/engine/spool_folder.h"

#include <algorithm>
#include <cerrno>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include "app/engine/stamp.h"
#include "app/io/files.h"
#include "app/io/places.h"

namespace strumwright::engine {

namespace fs = std::filesystem;

namespace {

constexpr const char* lock_name = "lock";

/// The folder's lock; none if another process holds it.
io::FileDescriptor take_lock(const fs::path& folder) {
  io::FileDescriptor lock(::open((folder / lock_name).c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600));
  if (lock && ::flock(lock.number(), LOCK_EX | LOCK_NB) != 0) lock.close();
  return lock;
}

std::vector<std::uint64_t> segments_in(const fs::path& folder) {
  std::vector<std::string> names;
  std::error_code code;
  for (const auto& item : fs::directory_iterator(folder, code)) {
    names.push_back(item.path().filename().string());
  }
  return session::segment_numbers(names);
}

/// Joins to a file beside `to`, then gives it its name.
Result<session::Joined> join_numbers(const fs::path& folder,
                                     const std::vector<std::uint64_t>& numbers,
                                     std::int64_t from_ns, std::optional<std::int64_t> end_ns,
                                     const fs::path& to) {
  if (auto made = io::make_writable(to.parent_path()); !made) return made.error();
  auto sink = io::FileSink::create(to.string());
  if (!sink) return sink.error();
  session::SpoolJoin join(**sink, from_ns);
  for (const auto number : numbers) {
    const auto path = (folder / session::segment_name(number)).string();
    auto bytes = io::FileSource::open(path);
    if (!bytes) continue;  // it could not be written; the join sees the gap
    if (auto added = join.add(number, path, **bytes); !added) return added.error();
  }
  auto joined = join.finish(end_ns);
  if (!joined) return joined;
  if (joined->entries == 0) {
    return Error{"the spool holds nothing", folder.string(), "play something first"};
  }
  if (auto closed = (*sink)->close(); !closed) return closed.error();
  return joined;
}

/// "2026-01-31T18:00:00Z" from a folder's name, "20260131-180000-4711".
std::string started_of(const std::string& name) {
  constexpr std::size_t stamp_length = 15;
  if (name.size() < stamp_length) return name;
  return name.substr(0, 4) + "-" + name.substr(4, 2) + "-" + name.substr(6, 2) + "T" +
         name.substr(9, 2) + ":" + name.substr(11, 2) + ":" + name.substr(13, 2) + "Z";
}

LeftSpool left_spool(const fs::path& folder) {
  LeftSpool spool{folder, started_of(folder.filename().string()), 0};
  for (const auto number : segments_in(folder)) {
    std::error_code code;
    const auto size = fs::file_size(folder / session::segment_name(number), code);
    if (!code) spool.size_bytes += size;
  }
  return spool;
}

}  // namespace

Result<SpoolFolder> SpoolFolder::create(const fs::path& data_directory, std::int64_t unix_seconds,
                                        const session::InputHeader& header,
                                        session::Settings settings) {
  const fs::path parent = data_directory / "spool";
  if (auto made = io::make_writable(parent); !made) return made.error();
  const std::string name = file_stamp(unix_seconds) + "-" + std::to_string(::getpid());
  std::error_code code;
  // A second session within one second takes the next name.
  for (int turn = 0; !code && turn < 100; ++turn) {
    const fs::path folder = parent / (turn == 0 ? name : name + "-" + std::to_string(turn));
    if (!fs::create_directory(folder, code)) continue;
    auto lock = take_lock(folder);
    if (lock) return SpoolFolder(folder, std::move(lock), session::Spool(header, settings));
    code = std::error_code(errno, std::generic_category());
  }
  return Error{"the spool cannot be made" + (code ? " (" + code.message() + ")" : std::string()),
               parent.string(), "make room there or turn the spool off"};
}

SpoolFolder::SpoolFolder(fs::path folder, io::FileDescriptor lock, session::Spool spool)
    : folder_(std::move(folder)), lock_(std::move(lock)), spool_(std::move(spool)) {}

SpoolFolder::SpoolFolder(SpoolFolder&& other) noexcept = default;

SpoolFolder::~SpoolFolder() {
  if (!lock_) return;  // moved from
  open_.reset();
  std::error_code code;
  fs::remove_all(folder_, code);
}

Result<Done> SpoolFolder::push(const session::Entry& entry) {
  const auto step = spool_.push(entry);
  if (step.begins_segment) {
    if (auto begun = begin_segment(step.segment); !begun) return begun;
  }
  if (open_) open_->text() += step.text;
  for (const auto number : spool_.take_expired(entry.t_ns)) {
    std::error_code code;
    fs::remove(folder_ / session::segment_name(number), code);
  }
  return Done{};
}

Result<Done> SpoolFolder::begin_segment(std::uint64_t number) {
  if (open_) {
    if (const auto closed = open_->close(); !closed) return failed(closed.error());
    open_.reset();
  }
  auto file = DiskFile::create(folder_ / session::segment_name(number));
  if (!file) {
    works_ = false;
    return file.error();
  }
  open_.emplace(std::move(*file));
  return Done{};
}

Result<Done> SpoolFolder::write_out(bool sync) {
  if (!open_) return Done{};
  if (const auto wrote = open_->write_out(); !wrote) return failed(wrote.error());
  if (sync) {
    if (const auto synced = open_->sync(); !synced) return failed(synced.error());
  }
  works_ = true;
  return Done{};
}

Result<Done> SpoolFolder::failed(const Error& error) {
  open_->tear();
  open_.reset();
  works_ = false;
  return error;
}

Result<session::Joined> SpoolFolder::join(std::int64_t from_ns, std::int64_t end_ns,
                                          const fs::path& to) {
  // A failure is met again at the next write, and said then.
  if (open_) static_cast<void>(open_->write_out());
  std::vector<std::uint64_t> numbers;
  for (const auto& segment : spool_.segments()) numbers.push_back(segment.number);
  return join_numbers(folder_, numbers, from_ns, end_ns, to);
}

std::int64_t SpoolFolder::from_ns() const {
  return spool_.segments().empty() ? 0 : spool_.segments().front().first_ns;
}

std::vector<LeftSpool> find_left_spools(const fs::path& data_directory) {
  std::vector<LeftSpool> left;
  std::error_code code;
  for (const auto& item : fs::directory_iterator(data_directory / "spool", code)) {
    if (!item.is_directory(code) || !take_lock(item.path())) continue;
    auto spool = left_spool(item.path());
    if (spool.size_bytes > 0) left.push_back(std::move(spool));
  }
  std::sort(left.begin(), left.end(),
            [](const auto& a, const auto& b) { return a.folder < b.folder; });
  return left;
}

Result<Recovered> recover_spool(const fs::path& data_directory, const fs::path& folder) {
  const auto lock = take_lock(folder);
  if (!lock) {
    return Error{"this spool is in use", folder.string(), "close the program that writes it"};
  }
  const fs::path to = data_directory / "kept" / (folder.filename().string() + "-recovered.jsonl");
  auto joined = join_numbers(folder, segments_in(folder), 0, std::nullopt, to);
  if (!joined) return joined.error();
  if (auto gone = discard_spool(folder); !gone) return gone.error();
  return Recovered{to, joined->remarks};
}

Result<Done> discard_spool(const fs::path& folder) {
  std::error_code code;
  fs::remove_all(folder, code);
  if (!code) return Done{};
  return Error{"the spool cannot be removed (" + code.message() + ")", folder.string(),
               "remove it by hand"};
}

}  // namespace strumwright::engine
