// tests/core/simulation/fault_maker_test.cpp
// What each fault changes in a bar; that the bench finds it as itself is tested with the bench.
#include "core/simulation/fault_maker.h"

#include <algorithm>
#include <cstddef>

#include <doctest/doctest.h>

#include "core/simulation/fault_picker.h"

using namespace strumwright::simulation;
using strumwright::diagnosis::Rule;

namespace {

constexpr std::int64_t ms = 1'000'000;

Bar faulty(Rule rule, std::uint64_t seed) {
  Hand hand(seed);
  Random random(seed);
  StrokeLimits limits;
  limits.lower_rank_only = true;
  Bar bar = play(hand.next(limits), 1000 * ms, seed % 2 == 0, hand);
  put_in(rule, {}, random, bar);
  return bar;
}

std::ptrdiff_t unreleased(const Bar& bar) {
  return std::count_if(bar.notes.begin(), bar.notes.end(),
                       [](const auto& note) { return !note.released; });
}

std::ptrdiff_t marks(const Bar& bar) {
  const auto steps = steps_of(bar, ReleaseStyle::velocity_zero);
  return std::count_if(steps.begin(), steps.end(),
                       [](const auto& step) { return step.mark.has_value(); });
}

}  // namespace

TEST_CASE("every fault of a bar leaves one mark, in this bar or by the next") {
  for (const auto rule : simulated_rules()) {
    const auto place = place_of(rule);
    if (place != FaultPlace::stroke && place != FaultPlace::when_clear) continue;
    for (std::uint64_t seed = 1; seed < 200; ++seed) {
      const Bar bar = faulty(rule, seed);
      const auto later = (bar.next_mark ? 1 : 0) + (bar.withholds_status ? 1 : 0);
      CHECK(marks(bar) + later == 1);
    }
  }
}

TEST_CASE("so many notes are left without their release") {
  struct Row {
    Rule rule;
    std::ptrdiff_t notes;
  };
  const Row rows[] = {{Rule::note_stuck, 1},
                      {Rule::note_on_twice, 1},
                      {Rule::note_burst_short, 3},
                      {Rule::note_flash, 0},
                      {Rule::wire_cut_short, 0}};
  for (const auto& row : rows) {
    for (std::uint64_t seed = 1; seed < 50; ++seed) {
      CHECK(unreleased(faulty(row.rule, seed)) == row.notes);
    }
  }
  const Bar all = faulty(Rule::note_all_off_only, 1);
  CHECK(unreleased(all) == static_cast<std::ptrdiff_t>(all.notes.size()));
}

TEST_CASE("a swapped release names a note that the stroke did not play, last of all") {
  for (std::uint64_t seed = 1; seed < 500; ++seed) {
    const Bar bar = faulty(Rule::note_swapped_off, seed);
    const auto swapped = std::find_if(bar.notes.begin(), bar.notes.end(),
                                      [](const auto& note) { return note.off_mark.has_value(); });
    REQUIRE(swapped != bar.notes.end());
    REQUIRE(bar.hanging);
    CHECK(bar.hanging->note == swapped->note);
    for (const auto& note : bar.notes) {
      CHECK(note.note != swapped->off_note);
      CHECK(note.off_ns <= swapped->off_ns);
    }
  }
}

TEST_CASE("an unknown chord holds three semitones in a row that the lowest note has no part in") {
  for (std::uint64_t seed = 1; seed < 500; ++seed) {
    const Bar bar = faulty(Rule::chord_unknown, seed);
    const auto sounds = [&bar](int pitch_class) {
      return std::any_of(bar.notes.begin(), bar.notes.end(), [pitch_class](const auto& note) {
        return note.note % 12 == (pitch_class + 12) % 12;
      });
    };
    const auto lowest = std::min_element(bar.notes.begin(), bar.notes.end(),
                                         [](auto& a, auto& b) { return a.note < b.note; });
    bool found = false;
    for (int middle = 0; middle < 12; ++middle) {
      const int apart = (middle - lowest->note % 12 + 12) % 12;
      const bool row = sounds(middle - 1) && sounds(middle) && sounds(middle + 1);
      found |= row && apart != 0 && apart != 1 && apart != 11;
    }
    CHECK(found);
    for (std::size_t k = 1; k < bar.notes.size(); ++k) {
      CHECK(bar.notes[k].on_ns > bar.notes[k - 1].on_ns);
    }
  }
}
