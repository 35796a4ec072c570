// core/diagnosis/burst_watch.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/diagnosis/start_log.h"
#include "core/notes/ledger.h"

namespace strumwright::diagnosis {

/// Longest time between two releases of one burst (rules, section 3).
inline constexpr std::int64_t burst_gap_ns = 50'000'000;

/// A burst of releases as far as it has come: a stroke's notes, of which the first `came` were
/// released in their starting order and the others not at all.
struct Burst {
  struct Note {
    notes::NoteKey key;
    std::uint64_t start_order = 0;
  };
  std::vector<Note> notes;  ///< in starting order
  std::size_t came = 0;
  std::int64_t last_ns = 0;  ///< newest of these releases
  std::uint64_t last_byte = 0;
  std::int64_t stroke_ns = 0;  ///< first onset of the stroke

  /// Releases have come, at least two, and at least two are missing.
  [[nodiscard]] bool is_short() const { return came >= 2 && notes.size() - came >= 2; }
  /// The notes whose releases are missing.
  [[nodiscard]] std::span<const Note> missing() const { return std::span(notes).subspan(came); }
  /// Whether the release of that start is missing.
  [[nodiscard]] bool misses(std::uint64_t start_order) const;
};

/// The burst of a stroke that began at `stroke_ns`, as it stood before the fact `order`; none if
/// the releases by then were not of its first notes in order, close enough together, or too few
/// notes are left.
[[nodiscard]] std::optional<Burst> burst_before(std::span<const LoggedStart> starts,
                                                std::int64_t stroke_ns, std::uint64_t order);

/// Follows the releases of final strokes as long as they may turn out to be a burst whose tail is
/// missing (`note.burst-short`).
///
/// A note is in one burst at most, that of its newest start, so there are never more than half as
/// many as there are notes. A copyable value; allocates a stroke that still has notes down, not a
/// message. Thread: its owner's only.
class BurstWatch {
 public:
  void add(Burst burst);
  /// A note was released.
  void released(notes::NoteKey key, std::int64_t t_ns, std::uint64_t byte);
  /// A note ended without a release or was started again: its stroke is no burst any more.
  void lost(notes::NoteKey key);

  /// The note's release is in the missing tail of a short burst, as things stand.
  [[nodiscard]] bool missing(notes::NoteKey key) const;
  /// Takes the burst of a missing note out of the watch.
  [[nodiscard]] Burst take(notes::NoteKey key);

 private:
  static std::size_t index_of(notes::NoteKey key) {
    return (key.channel.index & 15U) * std::size_t{128} + (key.number & 127U);
  }
  void drop(std::uint16_t place);

  std::vector<Burst> bursts_;                   ///< place p stands at p - 1
  std::vector<std::uint16_t> free_;             ///< places that may be used again
  std::array<std::uint16_t, 2048> place_of_{};  ///< by note; 0: in no burst
};

}  // namespace strumwright::diagnosis
