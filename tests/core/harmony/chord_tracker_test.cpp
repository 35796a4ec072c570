// tests/core/harmony/chord_tracker_test.cpp
#include "core/harmony/chord_tracker.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::harmony;

namespace {

using Notes = std::vector<std::uint8_t>;

std::string text_of(const ChordName& name) { return name.named ? to_text(name.best) : ""; }

/// What is shown after each onset of a stroke.
std::vector<std::string> shown_over(ChordTracker& tracker, std::int64_t start_ns,
                                    const Notes& stroke, const Notes& older = {}) {
  std::vector<std::string> shown;
  Notes heard;
  for (const auto note : stroke) {
    heard.push_back(note);
    shown.push_back(text_of(tracker.hear(start_ns, heard, older)));
  }
  return shown;
}

}  // namespace

TEST_CASE("inside a stroke a name gives way only to one that includes all tones heard") {
  struct Row {
    const char* why;
    Notes stroke;
    Notes older;
    std::vector<std::string> shown;
  };
  const Row rows[] = {
      {"a name grows with its tones", {48, 55, 64, 70}, {}, {"", "C5", "C", "C7"}},
      {"none never follows a name", {48, 52, 55, 54}, {}, {"", "", "C", "C"}},
      // The last onset makes it Csus4 with a foreign B, which was heard too.
      {"a name that leaves a tone out does not replace one",
       {48, 55, 59, 53, 60, 67, 65},
       {},
       {"", "C5", "C5", "C5", "C5", "C5", "C5"}},
      {"the same name stays when a foreign tone is found",
       {48, 52, 55, 60, 64, 67, 54},
       {},
       {"", "", "C", "C", "C", "C", "C"}},
      {"older notes help only a stroke without a name",
       {52, 55, 48},
       {57, 60},
       {"Am/E", "Am7/E", "C"}},
  };
  for (const auto& row : rows) {
    INFO(std::string(row.why));
    ChordTracker tracker;
    CHECK(shown_over(tracker, 0, row.stroke, row.older) == row.shown);
  }
}

TEST_CASE("a new stroke starts without a name") {
  ChordTracker tracker;
  CHECK(shown_over(tracker, 0, {48, 52, 55}).back() == "C");
  CHECK(shown_over(tracker, 1, {49, 50}).back().empty());
}

TEST_CASE("the foreign note of the name shown is kept up to date") {
  ChordTracker tracker;
  const Notes before{48, 52, 55, 60, 64, 67};
  CHECK_FALSE(tracker.hear(0, before, {}).foreign_note);
  const Notes after{48, 52, 55, 60, 64, 67, 54};
  CHECK(tracker.hear(0, after, {}).foreign_note == 54);
}

TEST_CASE("an entry is made each time the settled name changes") {
  struct Row {
    const char* why;
    Notes stroke;
    Notes older;
    const char* name;
    bool changed;
  };
  const Row rows[] = {
      {"the first name", {48, 52, 55}, {}, "C", true},
      {"the same again", {60, 64, 67}, {}, "C", false},
      {"none makes no entry", {48, 49, 50}, {}, "", false},
      {"and does not reset the last", {48, 52, 55}, {}, "C", false},
      {"another bass is another name", {52, 55, 60}, {}, "C/E", true},
      {"older notes name what has no name alone", {57}, {48, 52}, "Am/C", true},
      {"but not what has", {55, 60, 64}, {57}, "C/G", true},
      {"a foreign note is no other name", {43, 48, 52, 54, 55, 60, 64}, {}, "C/G", false},
  };
  ChordTracker tracker;
  for (const auto& row : rows) {
    INFO(std::string(row.why));
    const auto settled = tracker.settle(row.stroke, row.older);
    CHECK(text_of(settled.name) == row.name);
    CHECK(settled.changed == row.changed);
  }
  REQUIRE(tracker.last());
  CHECK(to_text(*tracker.last()) == "C/G");
}
