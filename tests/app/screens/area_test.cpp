// tests/app/screens/area_test.cpp
#include "app/screens/area.h"

#include <doctest/doctest.h>

using namespace strumwright::screens;

TEST_CASE("every area is found by its name and by nothing else") {
  for (const auto& row : areas()) {
    CHECK(find_area(row.name) == row.area);
    CHECK(text_of(row.area).title == row.title);
  }
  CHECK(!find_area("Hear"));
  CHECK(!find_area(""));
}
