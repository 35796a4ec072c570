// tests/core/strum/stroke_measures_test.cpp
#include "core/strum/stroke_measures.h"

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::strum;

namespace {

constexpr std::int64_t us = 1'000;

struct Hit {
  std::int64_t t_us;
  std::uint8_t place;
  Role role = Role::step;
  std::uint8_t bytes = 3;
};

Stroke measured(const std::vector<Hit>& hits) {
  Stroke stroke;
  stroke.start_ns = hits.front().t_us * us;
  for (const Hit& hit : hits) {
    Onset onset;
    onset.t_ns = hit.t_us * us;
    onset.place = hit.place;
    onset.role = hit.role;
    onset.message_bytes = hit.bytes;
    stroke.onsets.push_back(onset);
  }
  measure(stroke);
  return stroke;
}

}  // namespace

TEST_CASE("without trusted times a stroke has its direction by order, and no more") {
  Stroke stroke = measured({{0, 3}, {960, 4}, {1200, 4, Role::doubled}, {1920, 5}, {2880, 6}});
  REQUIRE(stroke.wire_limited);
  REQUIRE(stroke.direction == Direction::mixed);
  distrust_times(stroke);
  CHECK_FALSE(stroke.wire_limited);
  CHECK(stroke.direction == Direction::up);
  stroke = measured({{0, 6}, {20'000, 5}, {50'000, 4}});
  REQUIRE(stroke.evenness);
  distrust_times(stroke);
  CHECK_FALSE(stroke.evenness);
  CHECK(stroke.direction == Direction::down);
}

TEST_CASE("direction follows the rank correlation, and one half is enough") {
  struct Row {
    std::string source;
    std::vector<std::uint8_t> places;
    Direction direction;
  };
  // The coefficients are those of scipy.stats.spearmanr.
  const Row rows[] = {
      {"none of one", {5}, Direction::mixed},
      {"1", {1, 200}, Direction::up},
      {"-1", {9, 3, 1}, Direction::down},
      {"0.5: sum d^2 = 2 of 3", {1, 3, 2}, Direction::up},
      {"-0.5: sum d^2 = 6 of 3", {2, 3, 1}, Direction::down},
      {"0.4: sum d^2 = 6 of 4", {1, 4, 2, 3}, Direction::mixed},
      {"0.2: sum d^2 = 8 of 4", {2, 4, 1, 3}, Direction::mixed},
      {"-0.4: sum d^2 = 14 of 4", {4, 1, 3, 2}, Direction::mixed},
      {"0.5: sum d^2 = 10 of 5", {2, 1, 5, 4, 3}, Direction::up},
      {"0.4: sum d^2 = 12 of 5", {3, 1, 5, 2, 4}, Direction::mixed},
      {"-0.5: sum d^2 = 30 of 5", {3, 4, 5, 1, 2}, Direction::down},
      {"places over all words of the set", {255, 130, 64, 63, 0}, Direction::down},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    CHECK(direction_of(row.places) == row.direction);
  }
}

TEST_CASE("evenness is 1 - SD / mean of the gaps, at least 0, and needs two gaps") {
  CHECK_FALSE(evenness_of({}).has_value());
  CHECK_FALSE(evenness_of({20}).has_value());
  CHECK_FALSE(evenness_of({0, 0, 0}).has_value());
  CHECK(*evenness_of({20, 20}) == 1.0);
  CHECK(*evenness_of({10, 30}) == doctest::Approx(0.5));
  CHECK(*evenness_of({10, 20, 30}) == doctest::Approx(1 - std::sqrt(200.0 / 3) / 20));
  CHECK(*evenness_of({0, 20}) == 0.0);
  CHECK(*evenness_of({0, 0, 0, 100}) == 0.0);
}

TEST_CASE("the gap over an early onset is one gap, and doubles are not there") {
  const Stroke stroke = measured({{0, 1},
                                  {10'000, 9, Role::early},
                                  {20'000, 2},
                                  {25'000, 2, Role::doubled},
                                  {40'000, 3},
                                  {45'000, 3, Role::doubled}});
  CHECK(stroke.steps == 4);
  CHECK(stroke.span_ns == 40'000 * us);
  CHECK(*stroke.evenness == 1.0);
  CHECK_FALSE(measured({{0, 1}, {10'000, 9, Role::early}, {20'000, 2}}).evenness.has_value());
}

TEST_CASE("a stroke is wire-limited when 80 % of its gaps are within 10 % of the wire time") {
  struct Row {
    std::string source;
    std::vector<Hit> hits;
    bool limited;
  };
  const Row rows[] = {
      {"full status", {{0, 1}, {960, 2}, {1'920, 3}}, true},
      {"10 % longer", {{0, 1}, {1'056, 2}, {2'112, 3}}, true},
      {"more than 10 % longer", {{0, 1}, {1'057, 2}, {2'114, 3}}, false},
      {"10 % shorter", {{0, 1}, {864, 2}, {1'728, 3}}, true},
      {"more than 10 % shorter", {{0, 1}, {863, 2}, {1'726, 3}}, false},
      {"the earlier message counts", {{0, 1}, {960, 2, Role::step, 2}, {1'600, 3}}, true},
      {"not the later", {{0, 1, Role::step, 2}, {960, 2}, {1'600, 3}}, false},
      {"4 of 5", {{0, 1}, {960, 2}, {1'920, 3}, {2'880, 4}, {3'840, 5}, {9'000, 6}}, true},
      {"3 of 4", {{0, 1}, {960, 2}, {1'920, 3}, {2'880, 4}, {9'000, 6}}, false},
      {"early ones took their time too", {{0, 1}, {960, 9, Role::early}, {1'920, 3}}, true},
      {"a single onset", {{0, 1}}, false},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    const Stroke stroke = measured(row.hits);
    CHECK(stroke.wire_limited == row.limited);
    if (row.limited) CHECK(stroke.direction == Direction::mixed);
    if (row.limited) CHECK_FALSE(stroke.evenness.has_value());
  }
}
