// tests/core/harmony/note_parse_test.cpp
#include "core/harmony/note_parse.h"

#include <string>

#include <doctest/doctest.h>

#include "core/harmony/chord_name.h"

using namespace strumwright::harmony;

TEST_CASE("numbers and names of notes are read, 60 as C4") {
  struct Row {
    const char* word;
    int note;
  };
  const Row rows[] = {
      {"0", 0},    {"60", 60},  {"127", 127}, {"C4", 60},    {"c4", 60},   {"C", 60},
      {"Eb", 63},  {"F#3", 54}, {"Bb2", 46},  {"bb2", 46},   {"b2", 47},   {"Cb4", 59},
      {"B#4", 72}, {"C-1", 0},  {"G9", 127},  {"Cbb4", 58},  {"F##4", 67}, {"F♯4", 66},
      {"E♭-1", 3}, {"A4", 69},  {"Cb", 59},   {"Abb9", 127}, {"B#-2", 0},
  };
  for (const auto& row : rows) {
    INFO(std::string(row.word));
    const auto note = parse_note(row.word);
    REQUIRE(note);
    CHECK(int{*note} == row.note);
  }
}

TEST_CASE("every note is read back from its own text") {
  for (int note = 0; note < 128; ++note) {
    const auto number = static_cast<std::uint8_t>(note);
    for (const auto signs : {Signs::ascii, Signs::real}) {
      const auto read = parse_note(note_text(number, signs));
      REQUIRE(read);
      CHECK(*read == number);
    }
  }
}

TEST_CASE("what is no note is refused with the word and a remedy") {
  for (const char* word : {"", "-", "-1", "128", "99999999999999999999", "H4", "C#b#4", "C4x", "4C",
                           "G#9", "Cb-1", "C10", "C99999999999", "C-", "6 0", "0x3C", "C 4", "♭"}) {
    INFO(std::string(word));
    const auto note = parse_note(word);
    REQUIRE_FALSE(note);
    CHECK(note.error().where == "'" + std::string(word) + "'");
    CHECK_FALSE(note.error().what.empty());
    CHECK_FALSE(note.error().remedy.empty());
  }
}
