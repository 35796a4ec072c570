// tests/core/diagnosis/control_watch_test.cpp
#include "core/diagnosis/control_watch.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "core/strum/strum_tracker.h"

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

constexpr std::int64_t ms = 1'000'000;

midi::Event message(std::int64_t t_ns, std::uint8_t status, std::uint8_t number, std::uint8_t value,
                    std::uint64_t byte = 0) {
  return midi::make_event(t_ns, status, number, value, false, byte);
}

/// How many findings a message repeated at equal steps gives.
int floods(ControlWatch& watch, std::int64_t from_ns, std::int64_t step_ns, int count) {
  int found = 0;
  for (int i = 0; i < count; ++i) {
    found += watch.push(message(from_ns + i * step_ns, 0xB0, 7, 90)).has_value() ? 1 : 0;
  }
  return found;
}

}  // namespace

TEST_CASE("more than 20 equal values within a second are a flood, 20 are not") {
  struct Row {
    std::string source;
    std::int64_t step_ns;
    int count;
    int found;
  };
  const Row rows[] = {
      {"20 at once", 0, 20, 0},
      {"21 at once", 0, 21, 1},
      {"20 a second, for long", 50 * ms, 1000, 0},
      {"a little more than 20 a second", 50 * ms - 1, 1000, 1},
      {"fast and long is one episode", ms, 5000, 1},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    ControlWatch watch(0);
    CHECK(floods(watch, 0, row.step_ns, row.count) == row.found);
  }
}

TEST_CASE("an episode ends when a second passes without the value") {
  for (const std::int64_t pause_ns : {1000 * ms - 1, 1000 * ms}) {
    ControlWatch watch(0);
    CHECK(floods(watch, 0, 0, 21) == 1);
    CHECK(floods(watch, pause_ns, 0, 21) == (pause_ns < 1000 * ms ? 0 : 1));
  }
}

TEST_CASE("a flood names the message that was too many and how many the second held") {
  ControlWatch watch(2);
  CHECK(floods(watch, 0, 100 * ms, 31) == 0);
  CHECK(floods(watch, 3000 * ms, 0, 11) == 1);  // 10 of the last second, and these

  ControlWatch other(2);
  floods(other, 0, 100 * ms, 31);
  floods(other, 3000 * ms, 0, 10);
  const auto finding = other.push(message(3000 * ms, 0xB0, 7, 90, 77));
  REQUIRE(finding.has_value());
  CHECK(finding->rule == Rule::control_flood);
  CHECK(finding->src == 2);
  CHECK(finding->t_ns == 3000 * ms);
  CHECK(finding->byte == 77);
  CHECK(finding->channel == 1);
  CHECK(finding->count == 21);
  CHECK(finding->amount == 0xB0075A);
}

TEST_CASE("only the same value of the same control on the same channel counts together") {
  ControlWatch watch(0);
  int found = 0;
  const auto send = [&](std::uint8_t status, std::uint8_t number, std::uint8_t value) {
    found += watch.push(message(0, status, number, value)).has_value() ? 1 : 0;
  };
  for (int i = 0; i < 20; ++i) {
    send(0xB0, 7, 90);
    send(0xB1, 7, 90);
    send(0xB0, 8, 90);
    send(0xB0, 7, 91);
    send(0xC0, 7, 0);
    send(0xE0, 7, 90);
    send(0x90, 7, 90);
  }
  CHECK(found == 0);
  send(0xE0, 7, 90);
  send(0x90, 7, 90);
  CHECK(found == 0);
  send(0xC0, 7, 0);
  send(0xB0, 7, 91);
  CHECK(found == 2);
}

TEST_CASE("of a hostile flood of different values the memory stays bounded") {
  ControlWatch watch(0);
  int found = 0;
  for (int i = 0; i < 410'000; ++i) {
    const auto number = static_cast<std::uint8_t>(i % 128);
    const auto value = static_cast<std::uint8_t>(i / 128 % 128);
    found += watch.push(message(0, 0xB0, number, value)).has_value() ? 1 : 0;
  }
  CHECK(found == 0);  // each value comes 25 times, and is forgotten before it comes again
}

namespace {

struct Step {
  std::int64_t t_ns;
  bool control = false;
};

/// Plays onsets of rising notes and controls; returns the stalls of all strokes.
std::vector<Finding> stalls_of(const std::vector<Step>& steps) {
  ControlWatch watch(1);
  strum::StrumTracker strums;
  std::vector<strum::Stroke> finished;
  std::uint64_t byte = 100;
  for (const Step& step : steps) {
    byte += 3;
    if (step.control) {
      CHECK_FALSE(watch.push(message(step.t_ns, 0xB4, 7, 1, byte)).has_value());
      continue;
    }
    strum::Onset onset;
    onset.t_ns = step.t_ns;
    onset.note = onset.place = static_cast<std::uint8_t>(byte / 3);
    onset.byte = byte;
    watch.onset(onset);
    strums.push(onset, finished);
  }
  strums.finish(finished);
  std::vector<Finding> findings;
  for (const auto& stroke : finished) watch.stroke(stroke, 9000 * ms, findings);
  return findings;
}

}  // namespace

TEST_CASE("a silence of 15 ms inside a stroke with a control message in it is a stall") {
  struct Row {
    std::string source;
    std::vector<Step> steps;
    std::size_t found;
  };
  const Row rows[] = {
      {"15 ms", {{0}, {5 * ms, true}, {15 * ms}, {20 * ms}}, 1},
      {"one ns less", {{0}, {5 * ms, true}, {15 * ms - 1}, {20 * ms}}, 0},
      {"no control message", {{0}, {15 * ms}, {30 * ms}}, 0},
      {"control before the silence", {{0}, {ms, true}, {2 * ms}, {40 * ms}}, 0},
      {"control after the silence", {{0}, {40 * ms}, {41 * ms, true}, {42 * ms}}, 0},
      {"control before the first onset", {{0, true}, {ms}, {40 * ms}}, 0},
      {"at the time of an onset, order decides", {{0}, {0, true}, {15 * ms}}, 1},
      {"two stalls", {{0}, {ms, true}, {20 * ms}, {21 * ms, true}, {40 * ms}}, 2},
      {"between two strokes", {{0}, {10 * ms}, {50 * ms, true}, {200 * ms}, {210 * ms}}, 0},
      {"in the second stroke",
       {{0}, {10 * ms}, {50 * ms, true}, {200 * ms}, {201 * ms, true}, {220 * ms}},
       1},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    CHECK(stalls_of(row.steps).size() == row.found);
  }
}

TEST_CASE("a stall says when it was, how long, and which control message lies in it") {
  const auto findings = stalls_of({{ms}, {6 * ms, true}, {7 * ms, true}, {31 * ms}});
  REQUIRE(findings.size() == 1);
  const Finding& finding = findings[0];
  CHECK(finding.rule == Rule::timing_stall);
  CHECK(finding.src == 1);
  CHECK(finding.t_ns == ms);
  CHECK(finding.other_ns == 31 * ms);
  CHECK(finding.amount == 30 * ms);
  CHECK(finding.byte == 106);
  CHECK(finding.channel == 5);
  CHECK(finding.decided_ns == 9000 * ms);
}
