// tests/app/screens/parts/figures_test.cpp
#include "app/screens/parts/figures.h"

#include <limits>

#include <doctest/doctest.h>

using namespace strumwright::screens;

TEST_CASE("times show minutes, seconds and tenths, cut and never rounded up") {
  struct Row {
    std::int64_t t_ns;
    const char* text;
  };
  constexpr std::int64_t ms = 1'000'000;
  const Row rows[] = {{0, "00:00.0"},
                      {84'699 * ms, "01:24.6"},
                      {59'999 * ms, "00:59.9"},
                      {3'599'999 * ms, "59:59.9"},
                      {3'600'000 * ms, "1:00:00.0"},
                      {-5 * ms, "00:00.0"}};
  for (const auto& row : rows) CHECK(time_text(row.t_ns) == row.text);
  CHECK(clock_text(84'699 * ms) == "01:24");
}

TEST_CASE("numbers keep their decimals, the real minus, and say nothing where there is none") {
  CHECK(number_text(62.04, 1) == "62.0");
  CHECK(number_text(-0.31, 2) == "\u22120.31");
  CHECK(number_text(-0.004, 2) == "0.00");
  CHECK(number_text(std::numeric_limits<double>::quiet_NaN(), 1) == "–");
  CHECK(number_text(std::numeric_limits<double>::infinity(), 1) == "–");
  CHECK(count_text(0) == "0");
  CHECK(count_text(999) == "999");
  CHECK(count_text(1'482) == "1,482");
  CHECK(count_text(18'446'744'073'709'551'615ULL) == "18,446,744,073,709,551,615");
  CHECK(counted(1, "note") == "1 note");
  CHECK(counted(14, "note") == "14 notes");
}

TEST_CASE("a duration takes the unit that suits it") {
  struct Row {
    std::int64_t ns;
    const char* text;
  };
  const Row rows[] = {{320'000, "320 µs"},        {999'499, "999 µs"},
                      {999'500, "1.0 ms"},        {62'040'000, "62.0 ms"},
                      {350'000'000, "350 ms"},    {1'020'000'000, "1.0 s"},
                      {30'000'000'000, "30.0 s"}, {240'000'000'000, "4 min"}};
  for (const auto& row : rows) CHECK(duration_text(row.ns) == row.text);
}

TEST_CASE("axis marks stand at 1, 2 or 5 times a power of ten and cover the longest value") {
  struct Row {
    double most;
    int marks;
    double step, end;
    int decimals;
  };
  const Row rows[] = {{62.0, 8, 10.0, 70.0, 0}, {70.0, 7, 10.0, 70.0, 0},
                      {70.1, 7, 20.0, 80.0, 0}, {0.3, 3, 0.1, 0.3, 1},
                      {8.0, 4, 2.0, 8.0, 0},    {1'000.0, 5, 200.0, 1'000.0, 0}};
  for (const auto& row : rows) {
    INFO(row.most);
    const auto ticks = ticks_for(row.most, row.marks);
    CHECK(ticks.step == doctest::Approx(row.step));
    CHECK(ticks.end == doctest::Approx(row.end));
    CHECK(ticks.decimals == row.decimals);
  }
}
