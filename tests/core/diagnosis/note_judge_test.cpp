// tests/core/diagnosis/note_judge_test.cpp
#include "core/diagnosis/note_judge.h"

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tests/core/diagnosis/note_script_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::diagnosis;
using namespace strumwright::diagnosis::script;

namespace {

using Lines = std::vector<std::string>;

struct Row {
  const char* name;
  std::vector<Act> acts;
  std::int64_t end_ns;
  Lines lines;
  NoteJudgeSettings settings = {};
};

std::string joined(const Lines& lines) {
  std::string text;
  for (const auto& line : lines) text += line + '\n';
  return text;
}

void check(const std::vector<Row>& rows) {
  for (const auto& row : rows) {
    INFO(std::string(row.name));
    CHECK(joined(lines(judge(row.acts, row.end_ns, row.settings))) == joined(row.lines));
  }
}

std::vector<Act> operator+(std::vector<Act> a, const std::vector<Act>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

constexpr NoteJudgeSettings untimed{default_hold_limit_ns, false, true};
constexpr NoteJudgeSettings unordered{default_hold_limit_ns, false, false};

}  // namespace

TEST_CASE("a note that is started once and released once raises nothing") {
  check(
      {{"two notes", {on(0, 60), on(5 * ms, 64), off(80 * ms, 64), off(90 * ms, 60)}, s, {}},
       {"as long as 2 ms", {on(0, 60), off(2 * ms, 60)}, s, {}},
       {"again at once", {on(0, 60), off(50 * ms, 60), on(50 * ms, 60), off(90 * ms, 60)}, s, {}}});
}

TEST_CASE("a note shorter than 2 ms is a flash, where times can be trusted") {
  check({{"just shorter", {on(7 * ms, 60), off(9 * ms - 1, 60)}, s, {"note.flash 60@7 at 9-1"}},
         {"just not", {on(7 * ms, 60), off(9 * ms, 60)}, s, {}},
         {"from the newest start",
          {on(0, 60), on(70 * ms, 60), off(71 * ms, 60)},
          s,
          {"note.flash 60@70 at 71", "note.on-twice 60@70 at 70"}},
         {"not judged without times", {on(0, 60), off(1 * ms, 60)}, s, {}, untimed}});
}

TEST_CASE("a start of a note that is down is on-twice, at the later start") {
  check({{"one", {on(0, 60), on(70 * ms, 60), off(150 * ms, 60)}, s, {"note.on-twice 60@70 at 70"}},
         {"one a start",
          {on(0, 60), on(70 * ms, 60), on(140 * ms, 60), off(200 * ms, 60)},
          s,
          {"note.on-twice 60@70 at 70", "note.on-twice 60@140 at 140"}},
         {"not on another channel",
          {on(0, 60), on(70 * ms, 60, 2), off(150 * ms, 60), off(160 * ms, 60, 2)},
          s,
          {}}});
}

TEST_CASE("an orphan that nothing explains is off-unmatched 250 ms later or at the end") {
  check({{"later", {off(500 * ms, 60)}, s, {"note.off-unmatched 60@500 at 750"}},
         {"at the end", {off(500 * ms, 60)}, 600 * ms, {"note.off-unmatched 60@500 at 600 end"}},
         {"the end exactly then",
          {off(500 * ms, 60)},
          750 * ms,
          {"note.off-unmatched 60@500 at 750 end"}}});
}

TEST_CASE("clause 1: an ending that is no release excuses a release for 1 s") {
  check({{"mode message, just in time",
          {on(0, 60), control(100 * ms, 123), off(1100 * ms, 60)},
          2 * s,
          {}},
         {"mode message, too late",
          {on(0, 60), control(100 * ms, 123), off(1100 * ms + 1, 60)},
          2 * s,
          {"note.all-off-only -@100 +60 at 1100", "note.off-unmatched 60@1100+1 at 1350+1"}},
         {"not after another round of the note",
          {on(0, 60), control(100 * ms, 120), off(150 * ms, 60), on(200 * ms, 60),
           off(300 * ms, 60), off(400 * ms, 60)},
          2 * s,
          {"note.off-unmatched 60@400 at 650"}}});
  for (const auto how : {notes::Ending::sense_lost, notes::Ending::reset, notes::Ending::gone}) {
    check(
        {{"link, just in time", {on(0, 60), end_all(100 * ms, how), off(1100 * ms, 60)}, 2 * s, {}},
         {"link, too late",
          {on(0, 60), end_all(100 * ms, how), off(1100 * ms + 1, 60)},
          2 * s,
          {"note.off-unmatched 60@1100+1 at 1350+1"}}});
  }
}

TEST_CASE("clause 2: a start without its own release is owed one, for 1 s after the newest") {
  const std::vector<Act> twice = {on(0, 60), on(70 * ms, 60), off(150 * ms, 60)};
  check({{"just in time",
          twice + std::vector<Act>{off(1150 * ms, 60)},
          2 * s,
          {"note.on-twice 60@70 at 70"}},
         {"too late",
          twice + std::vector<Act>{off(1150 * ms + 1, 60)},
          2 * s,
          {"note.on-twice 60@70 at 70", "note.off-unmatched 60@1150+1 at 1400+1"}},
         {"one only",
          twice + std::vector<Act>{off(200 * ms, 60), off(250 * ms, 60)},
          2 * s,
          {"note.on-twice 60@70 at 70", "note.off-unmatched 60@250 at 500"}},
         {"a mode message counts as all releases owed",
          {on(0, 60), on(70 * ms, 60), control(100 * ms, 123), off(200 * ms, 60), on(300 * ms, 60),
           off(400 * ms, 60), off(500 * ms, 60)},
          2 * s,
          {"note.on-twice 60@70 at 70", "note.off-unmatched 60@500 at 750"}}});
}

TEST_CASE("clause 3: a second release within 1 s and with no start between is unmatched") {
  const std::vector<Act> held = {on(0, 60), on(200 * ms, 64), off(300 * ms, 60), off(3 * s, 64)};
  check({{"just in time",
          held + std::vector<Act>{off(1300 * ms, 60)},
          4 * s,
          {"note.off-unmatched 60@1300 at 1550"}},
         {"too late, so it may have meant the other",
          held + std::vector<Act>{off(1300 * ms + 1, 60)},
          4 * s,
          {"note.swapped-off 60@1300+1 not 64 at 1550+1"}},
         {"a start of the channel between",
          held + std::vector<Act>{on(350 * ms, 80), off(360 * ms, 80), off(400 * ms, 60)},
          4 * s,
          {"note.swapped-off 60@400 not 64 at 650"}},
         {"a start of another channel between",
          held + std::vector<Act>{on(350 * ms, 80, 2), off(360 * ms, 80, 2), off(400 * ms, 60)},
          4 * s,
          {"note.off-unmatched 60@400 at 650"}},
         {"a start after it",
          held + std::vector<Act>{off(400 * ms, 60), on(450 * ms, 80), off(460 * ms, 80)},
          4 * s,
          {"note.off-unmatched 60@400 at 650"}},
         {"an orphan is a release too",
          held + std::vector<Act>{off(2 * s, 61), off(2010 * ms, 61)},
          4 * s,
          {"note.swapped-off 61@2000 not 64 at 2250", "note.off-unmatched 61@2010 at 2260"}}});
}

TEST_CASE("clause 4: the same number down on exactly one other channel, then and when judged") {
  check({{"crossed, and not stuck",
          {on(0, 60, 2), off(500 * ms, 60)},
          2 * s,
          {"note.channel-crossed 60@500 not 2/60 at 750"}},
         {"released at the deadline",
          {on(0, 60, 2), off(500 * ms, 60), off(750 * ms, 60, 2)},
          2 * s,
          {"note.off-unmatched 60@500 at 750"}},
         {"released just after it",
          {on(0, 60, 2), off(500 * ms, 60), off(750 * ms + 1, 60, 2)},
          2 * s,
          {"note.channel-crossed 60@500 not 2/60 at 750"}},
         {"before a note of its own channel",
          {on(0, 60, 2), on(300 * ms, 61), off(500 * ms, 60), off(1 * s, 61)},
          2 * s,
          {"note.channel-crossed 60@500 not 2/60 at 750"}},
         {"two other channels",
          {on(0, 60, 2), on(0, 60, 3), off(500 * ms, 60), off(1 * s, 60, 2), off(1 * s, 60, 3)},
          2 * s,
          {"note.off-unmatched 60@500 at 750"}},
         {"a second one when judged",
          {on(0, 60, 2), off(500 * ms, 60), on(600 * ms, 60, 3), off(1 * s, 60, 2),
           off(1 * s, 60, 3)},
          2 * s,
          {"note.off-unmatched 60@500 at 750"}},
         {"another number",
          {on(0, 61, 2), off(500 * ms, 60), off(1 * s, 61, 2)},
          2 * s,
          {"note.off-unmatched 60@500 at 750"}}});
}

TEST_CASE("clause 5: a note of the channel that was down and still is hangs instead") {
  check({{"swapped, and not stuck",
          {on(0, 63), off(500 * ms, 64)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750"}},
         {"decided at the end",
          {on(0, 63), off(500 * ms, 64)},
          600 * ms,
          {"note.swapped-off 64@500 not 63 at 600 end"}},
         {"released at the deadline",
          {on(0, 63), off(500 * ms, 64), off(750 * ms, 63)},
          2 * s,
          {"note.off-unmatched 64@500 at 750"}},
         {"released just after it",
          {on(0, 63), off(500 * ms, 64), off(750 * ms + 1, 63)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750"}},
         {"started after the orphan",
          {off(500 * ms, 64), on(510 * ms, 63)},
          2 * s,
          {"note.off-unmatched 64@500 at 750", "note.stuck 63@510 at 2000 end"}},
         {"released and started again meanwhile",
          {on(0, 63), off(500 * ms, 64), off(600 * ms, 63), on(650 * ms, 63), off(1 * s, 63)},
          2 * s,
          {"note.off-unmatched 64@500 at 750"}},
         {"the nearest pitch",
          {on(0, 60), on(0, 67), off(500 * ms, 64), off(1 * s, 60)},
          2 * s,
          {"note.swapped-off 64@500 not 67 at 750"}},
         {"the lower of two as near",
          {on(0, 62), on(0, 66), off(500 * ms, 64), off(1 * s, 66)},
          2 * s,
          {"note.swapped-off 64@500 not 62 at 750"}},
         {"named less than 100 ms before",
          {on(0, 63), on(0, 70), off(500 * ms, 64), off(600 * ms - 1, 62)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750", "note.swapped-off 62@600-1 not 70 at 850-1"}},
         {"named 100 ms before",
          {on(0, 63), on(0, 70), off(500 * ms, 64), off(600 * ms, 62), off(1 * s, 70)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750", "note.swapped-off 62@600 not 63 at 850"}},
         {"named less than 100 ms before, and no other",
          {on(0, 63), off(500 * ms, 64), off(520 * ms, 62)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750", "note.off-unmatched 62@520 at 770"}}});
}

TEST_CASE("a named note raises no on-twice at its next start, which may be stuck itself") {
  check({{"named before the start",
          {on(0, 63), off(500 * ms, 64), on(800 * ms, 63), off(900 * ms, 63)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750"}},
         {"that start is never released",
          {on(0, 63), off(500 * ms, 64), on(800 * ms, 63)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750", "note.stuck 63@800 at 2000 end"}},
         {"the start after it is on-twice",
          {on(0, 63), off(500 * ms, 64), on(800 * ms, 63), on(900 * ms, 63), off(1 * s, 63)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750", "note.on-twice 63@900 at 900"}},
         {"crossed",
          {on(0, 60, 2), off(500 * ms, 60), on(800 * ms, 60, 2), off(900 * ms, 60, 2)},
          2 * s,
          {"note.channel-crossed 60@500 not 2/60 at 750"}}});
}

TEST_CASE("a start while an orphan waits that may name the note is decided with that orphan") {
  check({{"it names the note",
          {on(0, 63), off(500 * ms, 64), on(600 * ms, 63), off(900 * ms, 63)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750"}},
         {"and the new start hangs",
          {on(0, 63), off(500 * ms, 64), on(600 * ms, 63)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750", "note.stuck 63@600 at 2000 end"}},
         {"the second start is on-twice all the same",
          {on(0, 63), off(500 * ms, 64), on(600 * ms, 63), on(700 * ms, 63), off(900 * ms, 63)},
          2 * s,
          {"note.swapped-off 64@500 not 63 at 750", "note.on-twice 63@700 at 750"}},
         {"it does not name the note",
          {on(0, 63), off(500 * ms, 64), on(600 * ms, 63), off(700 * ms, 63)},
          2 * s,
          {"note.off-unmatched 64@500 at 750", "note.on-twice 63@600 at 750"}},
         {"the end comes first",
          {on(0, 63), off(500 * ms, 64), on(600 * ms, 63), off(650 * ms, 63)},
          700 * ms,
          {"note.off-unmatched 64@500 at 700 end", "note.on-twice 63@600 at 700 end"}},
         {"the last of two orphans",
          {on(0, 63), off(500 * ms, 64), off(560 * ms, 65), on(600 * ms, 63), off(700 * ms, 63)},
          2 * s,
          {"note.off-unmatched 64@500 at 750", "note.off-unmatched 65@560 at 810",
           "note.on-twice 63@600 at 810"}},
         {"not for an orphan that cannot name it",
          {on(0, 63), off(500 * ms, 64, 2), on(600 * ms, 63), off(700 * ms, 63)},
          2 * s,
          {"note.off-unmatched 2/64@500 at 750", "note.on-twice 63@600 at 600"}}});
}

TEST_CASE("a note down at the end of the input is stuck, at its start") {
  check(
      {{"one", {on(100 * ms, 60)}, s, {"note.stuck 60@100 at 1000 end"}},
       {"the newest start",
        {on(100 * ms, 60), on(300 * ms, 60)},
        s,
        {"note.on-twice 60@300 at 300", "note.stuck 60@300 at 1000 end"}},
       {"not one that the pedal keeps",
        {control(0, 64, 127), on(100 * ms, 60), off(200 * ms, 60)},
        s,
        {}},
       {"but one that is down under the pedal",
        {control(0, 64, 127), on(100 * ms, 60)},
        s,
        {"note.stuck 60@100 at 1000 end"}},
       {"without times too", {on(100 * ms, 60)}, s, {"note.stuck 60@100 at 1000 end"}, unordered}});
}

TEST_CASE("a note down longer than the limit while 8 others came and went is stuck") {
  const std::vector<Act> held = {on(0, 60)};
  const Lines due = {"note.stuck 60@0 at 30000"};
  const Lines at_end = {"note.stuck 60@0 at 40000 end"};
  std::vector<Act> older = {on(8 * ms, 60)};
  for (std::uint8_t i = 0; i < 8; ++i) {
    older.push_back(on(i * ms, static_cast<std::uint8_t>(70 + i)));
    older.push_back(off((500 + 60 * (7 - i)) * ms, static_cast<std::uint8_t>(70 + i)));
  }
  check({{"8 others", held + passing(s, 8), 40 * s, due},
         {"7 others", held + passing(s, 7), 40 * s, at_end},
         {"the 8th comes late",
          held + passing(s, 7) + passing(35 * s, 1),
          40 * s,
          {"note.stuck 60@0 at 35010"}},
         {"the 8th ends at the limit", held + passing(s, 7) + passing(30 * s - 10 * ms, 1), 40 * s,
          due},
         {"the 8th has not ended before",
          held + passing(s, 7) + std::vector<Act>{on(2 * s, 90), off(39 * s, 90)},
          40 * s,
          {"note.stuck 60@0 at 39000"}},
         {"released at the limit",
          held + passing(s, 8) + std::vector<Act>{off(30 * s, 60)},
          40 * s,
          {}},
         {"released just after it", held + passing(s, 8) + std::vector<Act>{off(30 * s + 1, 60)},
          40 * s, due},
         {"others that started before it", older, 40 * s, {"note.stuck 60@8 at 40000 end"}},
         {"others of another channel", held + passing(s, 8, 100, 2), 40 * s, at_end},
         {"a later start counts anew",
          held + passing(s, 8) + std::vector<Act>{on(31 * s, 60)} + passing(32 * s, 8),
          70 * s,
          {"note.stuck 60@0 at 30000", "note.on-twice 60@31000 at 31000",
           "note.stuck 60@31000 at 61000"}},
         {"the 8th ends by the message that ends the held note",
          held + passing(s, 7) + std::vector<Act>{on(29 * s, 40), control(35 * s, 123)},
          40 * s,
          {"note.all-off-only -@35000 +40 +60 at 36000"}},
         {"once a start", held + passing(s, 30) + passing(31 * s, 30), 40 * s, due},
         {"another limit",
          held + passing(s, 8),
          40 * s,
          {"note.stuck 60@0 at 5000"},
          {5 * s, true, true}},
         {"not without times", held + passing(s, 8), 40 * s, at_end, untimed},
         {"not one that an orphan named",
          held + passing(s, 8) + std::vector<Act>{off(5 * s, 61)},
          40 * s,
          {"note.swapped-off 61@5000 not 60 at 5250"}}});
}

TEST_CASE("notes that a mode message ended and that got no release of their own are listed") {
  const std::vector<Act> chord = {on(0, 60), on(0, 64), on(0, 67)};
  check({{"none",
          chord + std::vector<Act>{control(100 * ms, 123)},
          2 * s,
          {"note.all-off-only -@100 +60 +64 +67 at 1100"}},
         {"one of three",
          chord + std::vector<Act>{control(100 * ms, 120), off(1100 * ms, 64)},
          2 * s,
          {"note.all-off-only -@100 +60 +67 at 1100"}},
         {"each, the last after just 1 s",
          chord + std::vector<Act>{control(100 * ms, 127), off(200 * ms, 60), off(300 * ms, 64),
                                   off(1100 * ms, 67)},
          2 * s,
          {}},
         {"the end comes first",
          chord + std::vector<Act>{control(100 * ms, 123), off(200 * ms, 60)},
          500 * ms,
          {"note.all-off-only -@100 +64 +67 at 500 end"}},
         {"one a message",
          {on(0, 60), control(100 * ms, 123), on(200 * ms, 62), control(300 * ms, 123)},
          2 * s,
          {"note.all-off-only -@100 +60 at 1100", "note.all-off-only -@300 +62 at 1300"}},
         {"a release of the next start is not its own",
          {on(0, 60), control(100 * ms, 123), on(200 * ms, 60), off(300 * ms, 60)},
          2 * s,
          {"note.all-off-only -@100 +60 at 1100"}},
         {"no note was down", {control(100 * ms, 123)}, 2 * s, {}},
         {"the pedal's notes end in silence",
          {control(0, 64, 127), on(10 * ms, 60), off(50 * ms, 60), control(100 * ms, 123)},
          2 * s,
          {}},
         {"a lost link is no message",
          chord + std::vector<Act>{end_all(100 * ms, notes::Ending::reset)},
          2 * s,
          {}}});
  const auto findings = judge(chord + std::vector<Act>{control(100 * ms, 124)}, 2 * s);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].count == 3);
  CHECK(findings[0].amount == 124);
}

TEST_CASE("the missing tail of a burst of releases is one finding, not stuck notes") {
  const std::vector<Act> stroke = {on(0, 60), on(20 * ms, 62), on(40 * ms, 64), on(60 * ms, 65),
                                   on(80 * ms, 67)};
  const auto burst = [&stroke](std::vector<Act> more) {
    return stroke + std::vector<Act>{off(500 * ms, 60), off(520 * ms, 62), off(540 * ms, 64)} +
           more;
  };
  check({
      {"3 of 5", burst({}), 2 * s, {"note.burst-short 65@540 +65 +67 at 2000 end"}},
      {"50 ms apart",
       stroke + std::vector<Act>{off(500 * ms, 60), off(550 * ms, 62)},
       2 * s,
       {"note.burst-short 64@550 +64 +65 +67 at 2000 end"}},
      {"more than 50 ms apart",
       stroke + std::vector<Act>{off(500 * ms, 60), off(550 * ms + 1, 62)},
       2 * s,
       {"note.stuck 64@40 at 2000 end", "note.stuck 65@60 at 2000 end",
        "note.stuck 67@80 at 2000 end"}},
      {"one release is no burst",
       {on(0, 60), on(20 * ms, 62), on(40 * ms, 64), off(500 * ms, 60)},
       2 * s,
       {"note.stuck 62@20 at 2000 end", "note.stuck 64@40 at 2000 end"}},
      {"one missing is no tail",
       {on(0, 60), on(20 * ms, 62), on(40 * ms, 64), off(500 * ms, 60), off(500 * ms, 62)},
       2 * s,
       {"note.stuck 64@40 at 2000 end"}},
      {"another order",
       {on(0, 60), on(20 * ms, 62), on(40 * ms, 64), on(60 * ms, 65), off(500 * ms, 62),
        off(510 * ms, 60)},
       2 * s,
       {"note.stuck 64@40 at 2000 end", "note.stuck 65@60 at 2000 end"}},
      {"not the first ones",
       {on(0, 60), on(20 * ms, 62), on(40 * ms, 64), on(60 * ms, 65), off(500 * ms, 60),
        off(510 * ms, 64)},
       2 * s,
       {"note.stuck 62@20 at 2000 end", "note.stuck 65@60 at 2000 end"}},
      {"a late release belongs to no burst",
       burst({off(5 * s, 65)}),
       6 * s,
       {"note.stuck 67@80 at 6000 end"}},
      {"two strokes are not one",
       {on(0, 60), on(20 * ms, 62), on(1 * s, 64), on(1020 * ms, 65), off(1500 * ms, 60),
        off(1510 * ms, 62)},
       2 * s,
       {"note.stuck 64@1000 at 2000 end", "note.stuck 65@1020 at 2000 end"}},
      {"released before the stroke is final",
       {on(0, 60), on(20 * ms, 62), on(40 * ms, 64), on(60 * ms, 65), off(70 * ms, 60),
        off(80 * ms, 62)},
       2 * s,
       {"note.burst-short 64@80 +64 +65 at 2000 end"}},
      {"when the first would be stuck",
       burst(passing(1 * s, 8)),
       40 * s,
       {"note.burst-short 65@540 +65 +67 at 30060"}},
      {"when one starts again",
       burst({on(3 * s, 65), off(3100 * ms, 65), on(3200 * ms, 67), off(3300 * ms, 67)}),
       4 * s,
       {"note.burst-short 65@540 +65 +67 at 3000"}},
      {"that start may be stuck itself",
       burst({on(3 * s, 65)}),
       4 * s,
       {"note.burst-short 65@540 +65 +67 at 3000", "note.stuck 65@3000 at 4000 end"}},
      {"not those that an orphan named",
       burst({off(1 * s, 66)}),
       2 * s,
       {"note.burst-short 67@540 +67 at 2000 end", "note.swapped-off 66@1000 not 65 at 1250"}},
      {"not those that a mode message ended",
       burst({control(1 * s, 123)}),
       3 * s,
       {"note.all-off-only -@1000 +65 +67 at 2000"}},
      {"not without order",
       burst({}),
       2 * s,
       {"note.stuck 65@60 at 2000 end", "note.stuck 67@80 at 2000 end"},
       unordered},
      {"with an order but no times",
       burst({}),
       2 * s,
       {"note.burst-short 65@540 +65 +67 at 2000 end"},
       untimed},
  });
}

TEST_CASE("a burst is known short by a start that comes before its stroke is final") {
  const std::vector<Act> quick = {on(0, 60),        on(5 * ms, 62),  on(10 * ms, 64),
                                  on(15 * ms, 65),  on(20 * ms, 67), off(40 * ms, 60),
                                  off(45 * ms, 62), off(50 * ms, 64)};
  check({{"a start that begins a stroke at once",
          quick + std::vector<Act>{on(75 * ms, 67), off(200 * ms, 67), on(210 * ms, 65),
                                   off(300 * ms, 65)},
          s,
          {"note.burst-short 65@50 +65 +67 at 75"}},
         {"a turn, known by the onset after it",
          quick + std::vector<Act>{on(60 * ms, 65), on(65 * ms, 64), off(200 * ms, 65),
                                   off(210 * ms, 64)},
          s,
          {"note.burst-short 65@50 +65 +67 at 60"}},
         {"a double of the stroke itself is on-twice",
          quick + std::vector<Act>{on(60 * ms, 67), off(200 * ms, 65), off(210 * ms, 67)},
          s,
          {"note.on-twice 67@60 at 60"}}});
}

TEST_CASE("a swapped release names the chords before and after, if they were heard") {
  const harmony::Reading before{0, 0, 0};
  const harmony::Reading after{7, 2, 7};
  struct Heard {
    std::vector<std::pair<std::int64_t, harmony::Reading>> chords;
    std::optional<harmony::Reading> before;
    std::optional<harmony::Reading> after;
  };
  const Heard rows[] = {
      {{}, std::nullopt, std::nullopt},
      {{{0, before}}, before, std::nullopt},
      {{{0, before}, {400 * ms, before}}, before, std::nullopt},
      {{{0, before}, {500 * ms, after}}, before, after},
      {{{0, before}, {500 * ms + 1, after}}, before, std::nullopt},
      {{{300 * ms, after}}, std::nullopt, after},
  };
  for (const auto& row : rows) {
    NoteJudge judge(0, {});
    std::vector<Finding> findings;
    notes::NoteFact fact{.key = {{0}, 63}, .t_ns = 10 * ms};
    judge.push(fact, findings);
    fact = {.what = notes::NoteFact::What::orphan, .key = {{0}, 64}, .t_ns = 500 * ms};
    judge.push(fact, findings);
    for (const auto& [t_ns, name] : row.chords) judge.chord(t_ns, name);
    judge.finish(s, findings);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].chord_before == row.before);
    CHECK(findings[0].chord_after == row.after);
  }
}

TEST_CASE("a release of a note never started may mean that the recording began late") {
  const auto doubt_of = [](std::vector<Act> acts) {
    const auto findings = judge(std::move(acts), 100 * s);
    REQUIRE(findings.size() == 1);
    return findings[0].doubt;
  };
  CHECK(doubt_of({off(500 * ms, 60)}) == Doubt::joined_late);
  CHECK(doubt_of({on(0, 50), off(1 * s, 50), off(30 * s, 60)}) == Doubt::joined_late);
  CHECK(doubt_of({on(0, 50), off(1 * s, 50), off(30 * s + 1, 60)}) == Doubt::none);
  CHECK(doubt_of({on(0, 60), off(1 * s, 60), off(2 * s, 60)}) == Doubt::none);
}

TEST_CASE(
    "a fall of the grade ends timed judgements at once, a new hold limit counts for new starts") {
  NoteJudge judge(0, {});
  std::vector<Finding> findings;
  judge.push({.key = {{0}, 60}, .t_ns = 0}, findings);
  judge.set({5 * s, true, true});
  CHECK(judge.deadline_ns() == 30 * s);
  judge.push({.key = {{0}, 62}, .t_ns = 1 * s}, findings);
  CHECK(judge.deadline_ns() == 6 * s);
  judge.set(untimed);
  CHECK_FALSE(judge.deadline_ns());
  judge.push({.what = notes::NoteFact::What::end, .key = {{0}, 62}, .t_ns = 1 * s + 1}, findings);
  CHECK(findings.empty());
}
