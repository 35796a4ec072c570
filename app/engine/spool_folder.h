// app/engine/spool_folder.h
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"

namespace strumwright::engine {

/// What the bench always holds. Source: product habits (ours).
inline constexpr std::int64_t spool_length_ns = std::int64_t{15} * 60 * 1'000'000'000;
/// One file of a spool (ours).
inline constexpr std::int64_t spool_segment_ns = std::int64_t{60} * 1'000'000'000;

/// "20260131-180000": UTC, good in a file name.
[[nodiscard]] std::string file_stamp(std::int64_t unix_seconds);
/// "2026-01-31T18:00:00Z"
[[nodiscard]] std::string iso_stamp(std::int64_t unix_seconds);
/// What of a label may stand in a file name: ASCII letters, digits, `-`; at most 40 of them.
[[nodiscard]] std::string file_word(std::string_view label);

/// The folder of one session's spool, `spool/STAMP-PID`, locked while its process lives.
///
/// Each segment is a whole capture of a minute with the session's times. Removed with the session:
/// only a crash leaves one. Thread: its owner's only.
class SpoolFolder {
 public:
  static Result<SpoolFolder> create(const std::filesystem::path& data_directory,
                                    std::int64_t unix_seconds);
  SpoolFolder(SpoolFolder&& other) noexcept;
  SpoolFolder& operator=(SpoolFolder&&) = delete;
  ~SpoolFolder();

  /// Where the segment goes that begins at `t_ns`.
  [[nodiscard]] std::filesystem::path add_segment(std::int64_t t_ns);
  /// Removes the segments that ended before `t_ns`.
  void drop_before(std::int64_t t_ns);
  /// In order of time.
  [[nodiscard]] std::vector<std::filesystem::path> segments() const;
  /// Since when there is something; `t_ns` if there is nothing.
  [[nodiscard]] std::int64_t from_ns(std::int64_t t_ns) const;

 private:
  struct Segment {
    std::int64_t start_ns;
    std::filesystem::path path;
  };
  SpoolFolder(std::filesystem::path folder, int lock);

  std::filesystem::path folder_;
  int lock_ = -1;
  std::vector<Segment> segments_;
};

/// What of a session to join.
struct Stretch {
  std::int64_t from_ns = 0;  ///< becomes 0
  std::int64_t until_ns = INT64_MAX;
  std::string started;  ///< when `from_ns` was; empty: when the session began
};

struct Joined {
  int spoiled = 0;  ///< segments of which a part could not be read
};

/// Joins a stretch of `segments` to one capture at `to`, which appears whole or not at all. After
/// a crash or on a full disk a segment may end anyhow: what can be read of it is taken.
Result<Joined> join_segments(const std::vector<std::filesystem::path>& segments, Stretch stretch,
                             const std::filesystem::path& to);

/// A spool whose process is gone.
struct LeftSpool {
  std::filesystem::path folder;
  std::string started;  ///< of the session, ISO 8601 UTC
  std::uint64_t size_bytes = 0;
};

/// Spools that a crash left, oldest first; those of running programs are not among them.
[[nodiscard]] std::vector<LeftSpool> find_left_spools(const std::filesystem::path& data_directory);
/// Joins a left spool to a capture in `kept/` and removes it. The capture's path.
Result<std::filesystem::path> recover_spool(const std::filesystem::path& data_directory,
                                            const std::filesystem::path& folder);
Result<Done> discard_spool(const std::filesystem::path& folder);

}  // namespace strumwright::engine
