// core/diagnosis/restart_watch.h
#pragma once

#include <cstdint>
#include <deque>
#include <vector>

#include "core/diagnosis/decision.h"
#include "core/notes/note_fact.h"

namespace strumwright::diagnosis {

/// A start of a note that was down, and what must be known before it is judged.
struct Restart {
  notes::NoteKey key;
  std::int64_t t_ns = 0;
  std::uint64_t byte = 0;
  std::uint64_t order = 0;
  std::int64_t start_before_ns = 0;
  std::uint64_t start_before_order = 0;
  std::uint64_t awaited_orphan =
      0;                       ///< order of the last waiting orphan that may name the note; 0: none
  bool awaits_stroke = false;  ///< the start before is in a stroke that is not final yet
};

/// The starts of notes that were down, until it is known that nothing else explains them
/// (`note.on-twice`). A copyable value of bounded memory. Thread: its owner's only.
class RestartWatch {
 public:
  RestartWatch(std::uint16_t src) : src_(src) {}

  /// Takes a restart; raises it at once if it waits for nothing.
  void push(const Restart& restart, std::vector<Finding>& findings);

  /// An orphan named the note: the first start after it, if it waits, needs no other explanation.
  void explain(notes::NoteKey key, std::uint64_t orphan_order);
  /// An orphan was decided: raises what waited for it alone.
  void orphan_decided(std::uint64_t orphan_order, const Decision& decision,
                      std::vector<Finding>& findings);

  /// Takes out the restarts that wait for a stroke which is final now: those whose start before is
  /// older than the fact `open_order`.
  [[nodiscard]] std::vector<Restart> take_covered(std::uint64_t open_order);

  /// The input ended: raises what is left.
  void finish(const Decision& decision, std::vector<Finding>& findings);

 private:
  void raise(const Restart& restart, const Decision& decision,
             std::vector<Finding>& findings) const;

  std::uint16_t src_;
  std::deque<Restart> waiting_;  ///< as they came
};

}  // namespace strumwright::diagnosis
