// tests/core/simulation/fault_picker_test.cpp
#include "core/simulation/fault_picker.h"

#include <array>
#include <map>

#include <doctest/doctest.h>

using namespace strumwright::simulation;
using strumwright::diagnosis::Rule;

namespace {

constexpr std::int64_t long_ns = 3'600'000'000'000;

}  // namespace

TEST_CASE("a fault is due as often as its rate says") {
  const std::array rates{FaultRate{Rule::note_flash, 0.25}, FaultRate{Rule::wire_text, 0.0}};
  FaultPicker picker(rates, 1);
  std::map<Rule, int> taken;
  for (int stroke = 0; stroke < 4000; ++stroke) {
    picker.draw();
    if (const auto rule = picker.take(true, long_ns)) ++taken[*rule];
  }
  CHECK(taken.size() == 1);
  CHECK(taken[Rule::note_flash] > 850);
  CHECK(taken[Rule::note_flash] < 1150);
}

TEST_CASE("a fault waits for a clear moment and for time, and others go before it") {
  const std::array rates{FaultRate{Rule::note_stuck, 1.0}, FaultRate{Rule::note_flash, 1.0}};
  FaultPicker picker(rates, 1);
  picker.draw();
  picker.draw();
  CHECK_FALSE(picker.take(true, 0));
  CHECK((picker.take(false, long_ns) == Rule::note_flash));
  CHECK_FALSE(picker.take(false, long_ns));
  CHECK((picker.take(true, long_ns) == Rule::note_stuck));
  // Drawn twice, it waited once.
  CHECK_FALSE(picker.take(true, long_ns));
}

TEST_CASE("faults of the opening and of the session are wanted, not drawn") {
  const std::array rates{FaultRate{Rule::wire_joined, 0.1}, FaultRate{Rule::wire_silent, 0.0}};
  FaultPicker picker(rates, 1);
  CHECK(picker.wants(Rule::wire_joined));
  CHECK_FALSE(picker.wants(Rule::wire_silent));
  picker.draw();
  CHECK_FALSE(picker.take(true, long_ns));
}

TEST_CASE("what bytes of one source cannot show is not simulated") {
  for (const auto rule : {Rule::wire_clock, Rule::port_gone, Rule::chord_wrong_note}) {
    CHECK((place_of(rule) == FaultPlace::never));
  }
  CHECK(simulated_rules().size() == 27);
}
