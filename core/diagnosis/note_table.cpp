// core/diagnosis/note_table.cpp
#include "core/diagnosis/note_table.h"

namespace strumwright::diagnosis {

void NoteTable::start(const notes::NoteFact& fact, std::uint64_t order) {
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

void NoteTable::end(const notes::NoteFact& fact, std::uint64_t order) {
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

void NoteTable::orphan(const notes::NoteFact& fact, std::uint64_t order) {
  auto& note = at(fact.key);
  if (note.owed > 0) --note.owed;
  note.release_ns = fact.t_ns;
  note.release_order = order;
}

}  // namespace strumwright::diagnosis
