// core/diagnosis/all_off_watch.h
#pragma once

#include <cstdint>
#include <deque>
#include <vector>

#include "core/diagnosis/decision.h"
#include "core/notes/note_fact.h"

namespace strumwright::diagnosis {

/// Within this time a release is owed to a note that a mode message, a reset or a broken link ended
/// (rules, section 3).
inline constexpr std::int64_t own_release_ns = 1'000'000'000;

/// Waits for the notes' own releases after a channel mode message that ended them
/// (`note.all-off-only`). A copyable value of bounded memory. Thread: its owner's only.
class AllOffWatch {
 public:
  /// A mode message came; the notes that it ends follow.
  void message(const notes::NoteFact& fact);
  /// The newest message ended a note.
  void ended(notes::NoteKey key);
  /// A note that the newest message to name it ended got its own release.
  void released(notes::NoteKey key);

  /// Whether so many messages wait that the oldest must be decided now.
  [[nodiscard]] bool full() const;
  /// When the oldest message will be decided; `no_deadline_ns` if none waits.
  [[nodiscard]] std::int64_t deadline_ns() const {
    if (waiting_.empty()) return no_deadline_ns;
    return later_ns(waiting_.front().fact.t_ns, own_release_ns);
  }
  /// Decides the oldest message.
  void decide(const Decision& decision, std::vector<Finding>& findings);

 private:
  struct Message {
    notes::NoteFact fact;
    notes::NoteMask ended;
    notes::NoteMask unreleased;  ///< of these, until their own release
  };
  notes::NoteFact newest_;
  bool newest_waits_ = false;    ///< it ended a note, and stands last in `waiting_`
  std::deque<Message> waiting_;  ///< as they came
};

}  // namespace strumwright::diagnosis
