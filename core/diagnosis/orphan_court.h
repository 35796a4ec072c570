// core/diagnosis/orphan_court.h
#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <optional>
#include <vector>

#include "core/diagnosis/chord_memory.h"
#include "core/diagnosis/decision.h"
#include "core/diagnosis/note_table.h"

namespace strumwright::diagnosis {

/// How long an orphan waits for what it may explain (rules, section 3).
inline constexpr std::int64_t orphan_wait_ns = 250'000'000;
/// A release up to so long before explains an orphan (rules, section 3).
inline constexpr std::int64_t repeat_window_ns = 1'000'000'000;
/// A note named by an orphan less than this before is not named by the next (rules, section 3).
inline constexpr std::int64_t name_again_ns = 100'000'000;

/// A release of a note that was not down, until it is judged.
struct Orphan {
  /// What is certain at once, from what was before it.
  enum class Standing : std::uint8_t {
    open,       ///< may have meant another note
    excused,    ///< (1) a mode message or the like ended the note, (2) an older start owed it
    unmatched,  ///< (3) its note was released just before
  };
  notes::NoteKey key;
  std::int64_t t_ns = 0;
  std::uint64_t byte = 0;
  std::uint64_t order = 0;
  Standing standing = Standing::open;
  std::int64_t since_release_ns = -1;  ///< of the same note; -1: it had none
  std::optional<midi::Channel> down_elsewhere =
      std::nullopt;           ///< (4) the one other channel with that number down
  bool may_be_older = false;  ///< never started here, and the input is young
};

/// Judges the releases of notes that were not down: clauses (1) to (6) of rules, section 3.
///
/// Clauses (1) to (3) look back only and are settled when the orphan comes; (4) and (5) ask which
/// notes went on sounding, so all are decided 250 ms later. A copyable value of bounded memory.
/// Thread: its owner's only.
class OrphanCourt {
 public:
  /// Takes an orphan; `table` does not know of it yet.
  void push(const Orphan& orphan, const NoteTable& table);

  /// The order of the newest waiting orphan that may name this note; 0: none.
  [[nodiscard]] std::uint64_t newest_that_may_name(notes::NoteKey key, const NoteState& note) const;
  /// Whether so many wait that the oldest must be decided now.
  [[nodiscard]] bool full() const;
  /// When the oldest will be decided; `no_deadline_ns` if none waits.
  [[nodiscard]] std::int64_t deadline_ns() const {
    if (waiting_.empty()) return no_deadline_ns;
    return later_ns(waiting_.front().t_ns, orphan_wait_ns);
  }

  struct Judged {
    std::int64_t t_ns = 0;
    std::uint64_t order = 0;
    std::optional<notes::NoteKey> named;  ///< the note that hangs instead
  };
  /// Decides the oldest orphan.
  Judged decide(const Decision& decision, const NoteTable& table, const ChordMemory& chords,
                std::vector<Finding>& findings);

 private:
  std::deque<Orphan> waiting_;                  ///< as they came
  std::array<std::uint64_t, 16> newest_on_{};   ///< by channel: order of the newest orphan
  std::array<std::uint64_t, 128> newest_of_{};  ///< by number
};

}  // namespace strumwright::diagnosis
