// tests/app/io/sent_notes_test.cpp
#include "app/io/sent_notes.h"

#include <doctest/doctest.h>

using namespace strumwright::io;
using Message = std::array<std::uint8_t, 3>;

TEST_CASE("what was started and not ended is released, and nothing else") {
  struct Row {
    const char* what;
    std::vector<Message> sent;
    std::vector<Message> released;
  };
  const Row rows[] = {
      {"nothing", {}, {}},
      {"a note that is down", {{0x91, 60, 1}}, {{0x81, 60, 64}, {0xB1, 123, 0}}},
      {"a note that was ended by note-off", {{0x90, 60, 100}, {0x80, 60, 0}}, {{0xB0, 123, 0}}},
      {"a note that was ended by velocity 0", {{0x90, 60, 100}, {0x90, 60, 0}}, {{0xB0, 123, 0}}},
      {"a release alone", {{0x80, 60, 0}}, {}},
      {"the pedal at 64", {{0xB2, 64, 64}}, {{0xB2, 64, 0}}},
      {"the pedal at 63", {{0xB2, 64, 63}}, {}},
      {"the pedal down and up", {{0xB2, 64, 127}, {0xB2, 64, 0}}, {}},
      {"all ended by a mode message", {{0x90, 60, 9}, {0xB0, 123, 0}}, {{0xB0, 123, 0}}},
      {"all ended by sound off", {{0x90, 60, 9}, {0xB0, 120, 0}}, {{0xB0, 123, 0}}},
      {"another controller ends nothing",
       {{0x90, 60, 9}, {0xB0, 122, 0}},
       {{0x80, 60, 64}, {0xB0, 123, 0}}},
      {"notes in order, channels in order",
       {{0x95, 64, 9}, {0x95, 60, 9}, {0x90, 1, 9}},
       {{0x80, 1, 64}, {0xB0, 123, 0}, {0x85, 60, 64}, {0x85, 64, 64}, {0xB5, 123, 0}}},
  };
  for (const auto& row : rows) {
    INFO(row.what);
    SentNotes notes;
    for (const auto& message : row.sent) notes.push(message);
    CHECK(notes.release() == row.released);
    CHECK(notes.release().empty());
  }
}
