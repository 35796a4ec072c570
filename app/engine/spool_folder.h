// app/engine/spool_folder.h
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/engine/disk_file.h"
#include "app/io/file_descriptor.h"
#include "core/result.h"
#include "core/session/spool.h"
#include "core/session/spool_join.h"

namespace strumwright::engine {

/// The spool of one session on the disk: `spool/STAMP-PID`, locked while its process lives.
///
/// Removed with the session: only a crash leaves one. After a failed write nothing is written until
/// the next segment begins, then it is tried again. Thread: its owner's only.
class SpoolFolder {
 public:
  static Result<SpoolFolder> create(const std::filesystem::path& data_directory,
                                    std::int64_t unix_seconds, const session::InputHeader& header,
                                    session::Settings settings);
  SpoolFolder(SpoolFolder&& other) noexcept;
  SpoolFolder& operator=(SpoolFolder&&) = delete;
  ~SpoolFolder();

  /// Takes the next entry; removes segments that have expired.
  Result<Done> push(const session::Entry& entry);
  /// Hands what waits to the system, and to the disk if `sync`.
  Result<Done> write_out(bool sync);
  /// False from a failure to the next write that succeeds.
  [[nodiscard]] bool works() const { return works_; }

  /// Writes what it holds from `from_ns` on to one capture, which appears whole or not at all.
  Result<session::Joined> join(std::int64_t from_ns, std::int64_t end_ns,
                               const std::filesystem::path& to);
  /// Since when it holds anything; 0 if nothing.
  [[nodiscard]] std::int64_t from_ns() const;

 private:
  SpoolFolder(std::filesystem::path folder, io::FileDescriptor lock, session::Spool spool);
  Result<Done> begin_segment(std::uint64_t number);
  Result<Done> failed(const Error& error);

  std::filesystem::path folder_;
  io::FileDescriptor lock_;
  session::Spool spool_;
  std::optional<DiskFile> open_;
  bool works_ = true;
};

/// A spool whose process is gone.
struct LeftSpool {
  std::filesystem::path folder;
  std::string started;  ///< of the session, ISO 8601 UTC
  std::uint64_t size_bytes = 0;
};

struct Recovered {
  std::filesystem::path file;
  std::vector<std::string> remarks;  ///< what is missing, each a sentence
};

/// Spools that a crash left, oldest first; those of running programs are not among them.
[[nodiscard]] std::vector<LeftSpool> find_left_spools(const std::filesystem::path& data_directory);
/// Joins a left spool to a capture in `kept/` and removes it.
Result<Recovered> recover_spool(const std::filesystem::path& data_directory,
                                const std::filesystem::path& folder);
Result<Done> discard_spool(const std::filesystem::path& folder);

}  // namespace strumwright::engine
