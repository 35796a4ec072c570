// core/diagnosis/note_table.h
#pragma once

#include <array>
#include <cstdint>

#include "core/notes/ledger.h"
#include "core/notes/note_fact.h"

namespace strumwright::diagnosis {

/// Whether an ending is a release, and not a mode message, a reset or a link that broke.
constexpr bool is_release(notes::Ending how) {
  return how == notes::Ending::note_off || how == notes::Ending::velocity_zero;
}

/// What the judges remember of one note. Times in ns; an order is the number of a fact, from 1.
struct NoteState {
  bool down = false;
  bool named = false;  ///< by an orphan or a short burst, until the next start
  bool stuck = false;  ///< `note.stuck` was raised for the newest start
  notes::Ending ended_by = notes::Ending::note_off;
  std::uint32_t owed = 0;    ///< starts, since it was last up, without a release
  std::int64_t down_ns = 0;  ///< first start since it was last up
  std::uint64_t down_order = 0;
  std::int64_t start_ns = 0;      ///< newest start
  std::uint64_t start_order = 0;  ///< 0: never started
  std::uint64_t start_byte = 0;
  std::int64_t end_ns = 0;  ///< newest ending
  std::uint64_t end_order = 0;
  std::int64_t release_ns = 0;  ///< newest release, of a note that was down or not
  std::uint64_t release_order = 0;
  bool ever_named = false;
  std::int64_t named_by_ns = 0;  ///< time of the orphan that named it last, if one ever did
};

/// The notes of one source as its judges see them: the record, no judgement. A copyable value of
/// fixed size, written by `NoteJudge` only. Thread: its owner's.
class NoteTable {
 public:
  void start(const notes::NoteFact& fact, std::uint64_t order);
  void end(const notes::NoteFact& fact, std::uint64_t order);
  /// A release of a note that is not down.
  void orphan(const notes::NoteFact& fact, std::uint64_t order);

  [[nodiscard]] NoteState& at(notes::NoteKey key) {
    return notes_[key.channel.index & 15U][key.number & 127U];
  }
  [[nodiscard]] const NoteState& at(notes::NoteKey key) const {
    return notes_[key.channel.index & 15U][key.number & 127U];
  }
  [[nodiscard]] notes::NoteMask down(midi::Channel channel) const {
    return down_[channel.index & 15U];
  }
  /// The order of the channel's newest start; 0: none yet.
  [[nodiscard]] std::uint64_t newest_start(midi::Channel channel) const {
    return newest_start_[channel.index & 15U];
  }

 private:
  std::array<std::array<NoteState, 128>, 16> notes_;
  std::array<notes::NoteMask, 16> down_{};
  std::array<std::uint64_t, 16> newest_start_{};
};

inline void NoteTable::start(const notes::NoteFact& fact, std::uint64_t order) {
  auto& note = at(fact.key);
  if (!note.down) {
    note.down = true;
    note.down_ns = fact.t_ns;
    note.down_order = order;
    note.owed = 0;
    down_[fact.key.channel.index & 15U].add(fact.key.number);
  }
  ++note.owed;
  note.named = false;
  note.stuck = false;
  note.start_ns = fact.t_ns;
  note.start_order = order;
  note.start_byte = fact.byte;
  newest_start_[fact.key.channel.index & 15U] = order;
}

inline void NoteTable::end(const notes::NoteFact& fact, std::uint64_t order) {
  auto& note = at(fact.key);
  note.down = false;
  note.ended_by = fact.how;
  note.end_ns = fact.t_ns;
  note.end_order = order;
  down_[fact.key.channel.index & 15U].remove(fact.key.number);
  if (!is_release(fact.how)) {
    note.owed = 0;  // counts as all releases owed
    return;
  }
  if (note.owed > 0) --note.owed;
  note.release_ns = fact.t_ns;
  note.release_order = order;
}

inline void NoteTable::orphan(const notes::NoteFact& fact, std::uint64_t order) {
  auto& note = at(fact.key);
  if (note.owed > 0) --note.owed;
  note.release_ns = fact.t_ns;
  note.release_order = order;
}

}  // namespace strumwright::diagnosis
