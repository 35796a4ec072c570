// tests/app/theme/theme_test.cpp
#include "app/theme/theme.h"

#include <doctest/doctest.h>

using namespace strumwright::theme;

TEST_CASE("the size keys step through 80 to 250 % and stop at both ends") {
  struct Row {
    int from, larger, smaller;
  };
  const Row rows[] = {
      {80, 90, 80}, {100, 110, 90}, {105, 110, 100}, {225, 250, 200}, {250, 250, 225}};
  for (const auto& row : rows) {
    INFO(row.from);
    CHECK(larger_scale(row.from) == row.larger);
    CHECK(smaller_scale(row.from) == row.smaller);
  }
}

TEST_CASE("the room follows the width in units") {
  CHECK(room_for(1100.0F) == Room::wide);
  CHECK(room_for(1099.9F) == Room::middle);
  CHECK(room_for(700.0F) == Room::middle);
  CHECK(room_for(699.9F) == Room::narrow);
}
