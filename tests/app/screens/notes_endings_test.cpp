// tests/app/screens/notes_endings_test.cpp
#include "app/screens/notes_endings.h"

#include <doctest/doctest.h>

#include "core/notes/note_fact.h"

using namespace strumwright;
using namespace strumwright::screens;

TEST_CASE("the end of a bar shows how its note ended") {
  struct Row {
    std::uint8_t ending;
    EndShape shape;
  };
  const auto code = [](notes::Ending ending) { return static_cast<std::uint8_t>(ending); };
  const Row rows[] = {
      {code(notes::Ending::velocity_zero), EndShape::velocity_zero},
      {code(notes::Ending::note_off), EndShape::note_off},
      {code(notes::Ending::mode_message), EndShape::all_off},
      {code(notes::Ending::sense_lost), EndShape::all_off},
      {code(notes::Ending::reset), EndShape::all_off},
      {code(notes::Ending::gone), EndShape::all_off},
      {engine::NoteSpan::started_again, EndShape::again},
      {NoteBar::down, EndShape::open},
  };
  for (const auto& row : rows) {
    NoteBar bar;
    bar.ending = row.ending;
    CHECK(end_shape(bar) == row.shape);
  }
}
