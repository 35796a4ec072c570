// core/session/spool.h
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/session/entry.h"
#include "core/session/spool_state.h"

namespace strumwright::session {

/// The bench holds the last 15 minutes (product); the rest ours: segments short enough that little
/// more is held, few enough to be joined at once, and in all no more than a disk can spare.
inline constexpr std::int64_t spool_ns = 15LL * 60 * 1'000'000'000LL;
inline constexpr std::int64_t segment_ns = 60LL * 1'000'000'000LL;
inline constexpr std::uint64_t segment_bytes = 4U << 20U;
inline constexpr std::uint64_t spool_bytes = 256U << 20U;

/// A file of the spool: a whole capture by itself, whose times are those of the session and whose
/// header carries what was in force where it begins.
struct Segment {
  std::uint64_t number = 0;
  std::int64_t first_ns = 0;
  std::int64_t last_ns = 0;
  std::uint64_t bytes = 0;
};

/// "segment-000012.jsonl", in the order of which segments follow each other.
[[nodiscard]] std::string segment_name(std::uint64_t number);
/// None for any other name.
[[nodiscard]] std::optional<std::uint64_t> segment_number(std::string_view name);
/// The numbers of the segments among the names of a directory, in order.
[[nodiscard]] std::vector<std::uint64_t> segment_numbers(const std::vector<std::string>& names);

/// Decides what goes into which segment and which segments may go. Writes nothing itself: the owner
/// has the files. Thread: its owner's only. Memory: a row a segment, and the text of one entry.
class Spool {
 public:
  /// `settings`: in force at the session's start.
  Spool(InputHeader header, Settings settings);

  /// What the owner does with an entry, in this order.
  struct Step {
    bool begins_segment = false;  ///< close the file, if one is open, and begin that of `segment`
    std::uint64_t segment = 0;
    std::string_view text;  ///< append this; good until the next call
  };

  /// Takes the next entry, whose time must not go back. A segment is closed when the entry comes
  /// 60 s or more after its first or finds 4 MiB in it.
  Step push(const Entry& entry);

  /// Forgets the segments that are wholly older than 15 minutes, and the oldest while there are
  /// more than 256 MiB; never the one that is open. The owner deletes them (after a *Keep* under
  /// way).
  std::vector<std::uint64_t> take_expired(std::int64_t now_ns);

  /// Oldest first; what a *Keep* joins, with `SpoolJoin` from `now_ns - spool_ns` on.
  [[nodiscard]] const std::vector<Segment>& segments() const { return segments_; }

 private:
  [[nodiscard]] bool is_full(std::int64_t t_ns) const;
  void begin_segment(std::int64_t t_ns);

  InputHeader header_;
  SpoolState state_;
  std::vector<Segment> segments_;
  std::uint64_t newest_ = 0;
  std::uint64_t bytes_ = 0;  ///< of all segments
  std::string text_;
};

}  // namespace strumwright::session
