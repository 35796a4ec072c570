// tests/app/screens/parts/time_axis_test.cpp
#include "app/screens/parts/time_axis.h"

#include <doctest/doctest.h>

using namespace strumwright::screens;

namespace {

constexpr std::int64_t ms = 1'000'000;
constexpr std::int64_t s = 1'000'000'000;

}  // namespace

TEST_CASE("time goes along x and back") {
  const TimeScale scale{10 * s, 12 * s, 100.0F, 800.0F};
  CHECK(scale.at(10 * s) == doctest::Approx(100.0F));
  CHECK(scale.at(11 * s) == doctest::Approx(500.0F));
  CHECK(scale.when(500.0F) == 11 * s);
  CHECK(scale.when(900.0F) == 12 * s);
  CHECK(scale.shows(10 * s));
  CHECK(scale.shows(12 * s));
  CHECK(!scale.shows(10 * s - 1));
  CHECK(!scale.shows(12 * s + 1));
}

TEST_CASE("ticks stand in steps that people count in, never more than there is room for") {
  struct Row {
    std::int64_t span_ns;
    int marks;
    std::int64_t step_ns;
    int decimals;
  };
  const Row rows[] = {
      {2 * s, 9, 500 * ms, 1},   {2 * s, 10, 200 * ms, 1},   {2 * s - 1, 9, 200 * ms, 1},
      {20 * ms, 9, 5 * ms, 3},   {20 * ms, 10, 2 * ms, 3},   {1'000, 1, 1'000, 6},
      {20 * s, 9, 5 * s, 0},     {120 * s, 9, 20 * s, 0},    {120 * s, 2, 60 * s, 0},
      {3600 * s, 9, 600 * s, 0}, {3600 * s, 100, 60 * s, 0},
  };
  for (const auto& row : rows) {
    CAPTURE(row.span_ns);
    CAPTURE(row.marks);
    const auto ticks = time_ticks(row.span_ns, row.marks);
    CHECK(ticks.step_ns == row.step_ns);
    CHECK(ticks.decimals == row.decimals);
    CHECK(row.span_ns / ticks.step_ns <= row.marks);
  }
}

TEST_CASE("a tick is a time of the session, cut to the decimals that its step needs") {
  CHECK(tick_text(83'250 * ms, 0) == "01:23");
  CHECK(tick_text(83'250 * ms, 1) == "01:23.2");
  CHECK(tick_text(83'250 * ms, 3) == "01:23.250");
  CHECK(tick_text(83'000 * ms + 5, 9) == "01:23.000000005");
  CHECK(tick_text(-5, 2) == "00:00.00");
}
