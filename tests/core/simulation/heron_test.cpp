// tests/core/simulation/heron_test.cpp
#include "core/simulation/heron.h"

#include <bit>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::simulation;

namespace {

std::vector<int> notes_of(HeronChord chord, int first, int last) {
  std::vector<int> notes;
  for (int string = first; string <= last; ++string) {
    notes.push_back(Heron::note_of(chord, static_cast<std::uint8_t>(string)));
  }
  return notes;
}

std::string held(std::uint8_t combination) {
  std::string text;
  for (const auto name : Heron::button_names(combination)) text += std::string(name) + " ";
  return text;
}

}  // namespace

// The instrument is ours; the rows were worked by hand from its description.
TEST_CASE("the buttons of each root are those of the description") {
  struct Row {
    int root;
    const char* buttons;
  };
  const Row rows[] = {{0, "F1 "},       {7, "F1 F2 "},  {2, "F2 "},       {9, "F2 F3 "},
                      {4, "F3 "},       {11, "F1 F3 "}, {6, "F1 F3 F4 "}, {1, "F3 F4 "},
                      {8, "F2 F3 F4 "}, {3, "F2 F4 "},  {10, "F4 "},      {5, "F1 F4 "}};
  for (const auto& row : rows) {
    CHECK(held(Heron::combination_of({static_cast<std::uint8_t>(row.root), 0})) == row.buttons);
  }
  CHECK(held(Heron::combination_of({0, 7})) == "F1 T1 T2 T3 ");
}

TEST_CASE("there are 96 combinations with a chord, and each names its buttons and back") {
  std::set<std::pair<int, int>> chords;
  int without = 0;
  for (int combination = 0; combination < 128; ++combination) {
    const auto chord = Heron::chord_of(static_cast<std::uint8_t>(combination));
    if (!chord) {
      ++without;
      continue;
    }
    chords.insert({chord->root, chord->thumbs});
    CHECK(Heron::combination_of(*chord) == combination);
  }
  CHECK(chords.size() == 96);
  CHECK(without == 32);
  CHECK_FALSE(Heron::chord_of(0));
}

TEST_CASE("round the circle of fifths one finger moves at a time") {
  for (int root = 0; root < 12; ++root) {
    const auto here = Heron::combination_of({static_cast<std::uint8_t>(root), 0});
    const auto fifth = Heron::combination_of({static_cast<std::uint8_t>((root + 7) % 12), 0});
    CHECK(std::popcount(static_cast<unsigned>(here ^ fifth)) == 1);
  }
}

TEST_CASE("strings rise through the chord, from 16 on with the ninth added") {
  struct Row {
    const char* chord;
    HeronChord combination;
    int first;
    int last;
    std::vector<int> notes;
  };
  const Row rows[] = {
      {"C", {0, 0}, 1, 15, {36, 40, 43, 48, 52, 55, 60, 64, 67, 72, 76, 79, 84, 88, 91}},
      {"C, upper rank", {0, 0}, 16, 24, {60, 62, 64, 67, 72, 74, 76, 79, 84}},
      {"Am", {9, 1}, 1, 7, {45, 48, 52, 57, 60, 64, 69}},
      {"B, the highest root", {11, 0}, 1, 4, {47, 51, 54, 59}},
      {"G7", {7, 2}, 1, 9, {43, 47, 50, 53, 55, 59, 62, 65, 67}},
      {"Dm7", {2, 3}, 1, 5, {38, 41, 45, 48, 50}},
      {"Fsus4", {5, 4}, 1, 4, {41, 46, 48, 53}},
      {"Dsus2: its second is the ninth", {2, 5}, 16, 20, {62, 64, 69, 74, 76}},
      {"E7sus4", {4, 6}, 1, 5, {40, 45, 47, 50, 52}},
      {"C#dim7", {1, 7}, 1, 5, {37, 40, 43, 46, 49}},
      {"C#dim7, upper rank", {1, 7}, 16, 21, {61, 63, 64, 67, 70, 73}},
  };
  for (const auto& row : rows) {
    INFO(std::string(row.chord));
    CHECK(notes_of(row.combination, row.first, row.last) == row.notes);
  }
}

TEST_CASE("every string of every combination is a note, and strings of a rank rise") {
  for (int combination = 0; combination < 128; ++combination) {
    const auto chord = Heron::chord_of(static_cast<std::uint8_t>(combination));
    if (!chord) continue;
    const auto notes = notes_of(*chord, 1, Heron::strings);
    for (std::size_t k = 1; k < notes.size(); ++k) {
      if (k != Heron::lower_rank) CHECK(notes[k] > notes[k - 1]);
      CHECK(notes[k] < 128);
    }
  }
}
