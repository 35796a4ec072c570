// tests/core/diagnosis/suspect_status_test.cpp
#include "core/diagnosis/suspect_status.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

constexpr std::int64_t ms = 1'000'000;

strum::Onset onset_at(std::int64_t t_ns, std::uint8_t note, std::uint8_t velocity) {
  strum::Onset onset;
  onset.t_ns = t_ns;
  onset.channel.index = 2;
  onset.note = onset.place = note;
  onset.velocity = velocity;
  return onset;
}

midi::Event control(std::uint8_t status, std::uint8_t number, std::uint8_t value, bool running) {
  return midi::make_event(70 * ms, status, number, value, running, 9);
}

}  // namespace

TEST_CASE("a control change is suspect when number and value fit a note of the stroke") {
  struct Row {
    std::string source;
    midi::Event message;
    bool suspect;
  };
  const Row rows[] = {
      {"velocity of the note", control(0xB2, 64, 81, true), true},
      {"zero, a release", control(0xB2, 64, 0, true), true},
      {"the velocity of another note", control(0xB2, 64, 80, true), false},
      {"a note that did not sound", control(0xB2, 65, 0, true), false},
      {"with its own status", control(0xB2, 64, 81, false), false},
      {"another channel", control(0xB3, 64, 81, true), false},
      {"no control change", control(0x92, 64, 81, true), false},
      {"the last number that is no mode message", control(0xB2, 119, 0, true), true},
      {"a mode message", control(0xB2, 120, 0, true), false},
  };
  strum::StrumTracker strums;
  std::vector<strum::Stroke> finished;
  const std::uint8_t notes[] = {60, 64, 119, 120};
  for (std::uint8_t i = 0; i < 4; ++i) {
    strums.push(onset_at(i * 20 * ms, notes[i], static_cast<std::uint8_t>(80 + i)), finished);
  }
  const SuspectStatus judge(3);
  for (const Row& row : rows) {
    INFO(row.source);
    const auto finding = judge.push(row.message, strums);
    REQUIRE(finding.has_value() == row.suspect);
    if (!finding) continue;
    CHECK(finding->src == 3);
    CHECK(finding->byte == 9);
    CHECK(finding->channel == 3);
    CHECK(finding->note == row.message.data1());
    CHECK(finding->amount == row.message.data2());
  }
}

TEST_CASE("a final stroke is the newest until another begins") {
  strum::StrumTracker strums;
  std::vector<strum::Stroke> finished;
  SuspectStatus judge(0);
  strums.push(onset_at(0, 60, 80), finished);
  strums.finish(finished);
  CHECK_FALSE(judge.push(control(0xB2, 60, 0, true), strums).has_value());
  judge.stroke(finished.back());
  CHECK(judge.push(control(0xB2, 60, 0, true), strums).has_value());
  strums.push(onset_at(500 * ms, 64, 80), finished);
  CHECK_FALSE(judge.push(control(0xB2, 60, 0, true), strums).has_value());
  CHECK(judge.push(control(0xB2, 64, 0, true), strums).has_value());
}
