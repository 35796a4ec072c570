// core/diagnosis/burst_watch.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/diagnosis/note_table.h"
#include "core/strum/stroke.h"

namespace strumwright::diagnosis {

/// Longest time between two releases of one burst (rules, section 3).
inline constexpr std::int64_t burst_gap_ns = 50'000'000;

/// A burst of releases as far as it has come: a stroke's notes, of which the first `came` were
/// released in their starting order and the others not at all.
struct Burst {
  std::vector<notes::NoteKey> notes;  ///< in starting order
  std::size_t came = 0;
  std::int64_t last_ns = 0;  ///< newest of these releases
  std::uint64_t last_byte = 0;
  std::int64_t start_ns = 0;  ///< first onset of the stroke
  std::int64_t end_ns = 0;    ///< last onset of the stroke
};

/// Follows the releases of final strokes as long as they may turn out to be a burst whose tail is
/// missing (`note.burst-short`).
///
/// A note is in one burst at most, that of its newest start, so there are never more than half as
/// many as there are notes. A copyable value; allocates a stroke that still has notes down, not a
/// message. Thread: its owner's only.
class BurstWatch {
 public:
  /// Takes a final stroke; `table` knows what became of its notes so far.
  void stroke(const strum::Stroke& stroke, const NoteTable& table);
  /// A note was released.
  void released(notes::NoteKey key, std::int64_t t_ns, std::uint64_t byte);
  /// A note ended without a release or was started again: its stroke is no burst any more.
  void lost(notes::NoteKey key);

  /// The note's release is in the missing tail of a burst, as things stand.
  [[nodiscard]] bool missing(notes::NoteKey key) const;
  /// Takes the burst of a missing note out of the watch.
  [[nodiscard]] Burst take(notes::NoteKey key);

 private:
  static std::size_t index_of(notes::NoteKey key) {
    return (key.channel.index & 15U) * std::size_t{128} + (key.number & 127U);
  }
  void add(Burst burst);
  void drop(std::uint16_t place);

  std::vector<Burst> bursts_;                   ///< place p stands at p - 1
  std::vector<std::uint16_t> free_;             ///< places that may be used again
  std::array<std::uint16_t, 2048> place_of_{};  ///< by note; 0: in no burst
};

}  // namespace strumwright::diagnosis
