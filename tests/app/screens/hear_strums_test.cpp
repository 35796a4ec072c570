// tests/app/screens/hear_strums_test.cpp
#include "app/screens/hear_strums.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

TEST_CASE("the newest strums are in sight, or the older one that was chosen with those after it") {
  std::vector<engine::StrokeNow> strums(10);
  for (std::size_t i = 0; i < strums.size(); ++i) strums[i].serial = i + 1;
  struct Case {
    std::size_t columns;
    std::uint64_t chosen, first, last;
  };
  const Case cases[] = {{4, 0, 7, 10}, {4, 10, 7, 10}, {4, 7, 7, 10},  {4, 6, 6, 9},
                        {4, 1, 1, 4},  {10, 1, 1, 10}, {12, 1, 1, 10}, {1, 3, 3, 3}};
  for (const auto& c : cases) {
    CAPTURE(c.columns);
    CAPTURE(c.chosen);
    const auto shown = strums_in_sight(strums, c.columns, c.chosen);
    CHECK(shown.front().serial == c.first);
    CHECK(shown.back().serial == c.last);
  }
}
