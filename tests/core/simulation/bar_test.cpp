// tests/core/simulation/bar_test.cpp
#include "core/simulation/bar.h"

#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::simulation;

namespace {

constexpr std::int64_t ms = 1'000'000;

StrokePlan c_major_up() {
  StrokePlan stroke;
  stroke.strings = {1, 2, 3};
  stroke.gaps_ns = {10 * ms, 20 * ms};
  return stroke;
}

std::string bytes_of(const Step& step) {
  std::string text;
  for (std::size_t k = 0; k < step.size; ++k) text += std::to_string(step.bytes[k]) + " ";
  return text;
}

}  // namespace

TEST_CASE("strings start as the hand strikes them and sound their notes of the chord") {
  Hand hand(1);
  const Bar bar = play(c_major_up(), 1000 * ms, false, hand);
  REQUIRE(bar.notes.size() == 3);
  CHECK(bar.notes[0].on_ns == 1000 * ms);
  CHECK(bar.notes[1].on_ns == 1010 * ms);
  CHECK(bar.last_on_ns() == 1030 * ms);
  CHECK(bar.notes[2].note == 43);
  for (const auto& note : bar.notes) {
    CHECK(note.off_ns - note.on_ns >= ring_ns * 3 / 4);
    CHECK(note.off_ns - note.on_ns <= ring_ns * 5 / 4);
  }
  CHECK(bar.quiet_ns() > bar.notes[2].off_ns);
}

TEST_CASE("strings that ring on are released in one burst, in the order of their starts") {
  Hand hand(1);
  const Bar bar = play(c_major_up(), 0, true, hand);
  CHECK(bar.notes[0].off_ns < bar.notes[1].off_ns);
  CHECK(bar.notes[2].off_ns - bar.notes[0].off_ns < ms);
  CHECK(bar.notes[0].off_ns > bar.last_on_ns() + 200 * ms);
}

TEST_CASE("a delay moves the notes from it on, starts and releases") {
  Hand hand(1);
  Bar bar = play(c_major_up(), 0, false, hand);
  const auto before = bar.notes;
  bar.delay_from(1, 5 * ms);
  CHECK(bar.notes[0].on_ns == before[0].on_ns);
  CHECK(bar.notes[1].on_ns == before[1].on_ns + 5 * ms);
  CHECK(bar.notes[2].off_ns == before[2].off_ns + 5 * ms);
}

TEST_CASE("steps come by time, and a release is of the style that was asked for") {
  struct Row {
    ReleaseStyle style;
    const char* release;
  };
  const Row rows[] = {{ReleaseStyle::velocity_zero, "144 36 0 "},
                      {ReleaseStyle::note_off, "128 36 64 "}};
  for (const auto& row : rows) {
    Hand hand(1);
    Bar bar = play(c_major_up(), 0, true, hand);
    bar.notes[2].released = false;
    const auto steps = steps_of(bar, row.style);
    REQUIRE(steps.size() == 5);
    CHECK(std::is_sorted(steps.begin(), steps.end(),
                         [](const auto& a, const auto& b) { return a.t_ns < b.t_ns; }));
    CHECK(bytes_of(steps[0]) == "144 36 80 ");
    CHECK(bytes_of(steps[2]) == "144 43 80 ");
    CHECK(bytes_of(steps[3]) == row.release);
  }
}
