// tests/core/diagnosis/note_table_test.cpp
#include "core/diagnosis/note_table.h"

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::diagnosis;

TEST_CASE("the table remembers the newest start, the time down and the releases owed") {
  NoteTable table;
  const notes::NoteKey key{{4}, 60};
  table.start({.key = key, .t_ns = 10, .byte = 1}, 1);
  table.start({.key = key, .t_ns = 20, .byte = 4}, 2);
  const auto& note = table.at(key);
  CHECK(note.down);
  CHECK(table.down({4}).has(60));
  CHECK(table.down({3}).empty());
  CHECK(note.down_ns == 10);
  CHECK(note.down_order == 1);
  CHECK(note.start_ns == 20);
  CHECK(note.start_byte == 4);
  CHECK(note.owed == 2);
  CHECK(table.newest_start({4}) == 2);
  CHECK(table.newest_start({5}) == 0);

  table.end({.how = notes::Ending::velocity_zero, .key = key, .t_ns = 30}, 3);
  CHECK_FALSE(note.down);
  CHECK(table.down({4}).empty());
  CHECK(note.owed == 1);
  CHECK(note.release_ns == 30);
  table.orphan({.key = key, .t_ns = 40}, 4);
  CHECK(note.owed == 0);
  CHECK(note.release_order == 4);
  CHECK(note.end_order == 3);
  table.orphan({.key = key, .t_ns = 50}, 5);
  CHECK(note.owed == 0);
}

TEST_CASE("an ending that is no release owes nothing and is no release") {
  NoteTable table;
  const notes::NoteKey key{{0}, 60};
  for (const auto how : {notes::Ending::mode_message, notes::Ending::sense_lost,
                         notes::Ending::reset, notes::Ending::gone}) {
    table.start({.key = key, .t_ns = 10}, 1);
    table.start({.key = key, .t_ns = 20}, 2);
    table.end({.how = how, .key = key, .t_ns = 30}, 3);
    CHECK(table.at(key).owed == 0);
    CHECK(table.at(key).release_order == 0);
    CHECK(table.at(key).ended_by == how);
    CHECK_FALSE(is_release(how));
  }
}

TEST_CASE("a start clears what was said of the start before") {
  NoteTable table;
  const notes::NoteKey key{{0}, 60};
  table.start({.key = key}, 1);
  table.at(key).named = true;
  table.at(key).stuck = true;
  table.start({.key = key}, 2);
  CHECK_FALSE(table.at(key).named);
  CHECK_FALSE(table.at(key).stuck);
}
