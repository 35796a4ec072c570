// tests/app/screens/snapshot_test.cpp
#include "app/screens/snapshot.h"

#include <doctest/doctest.h>

using namespace strumwright::screens;

TEST_CASE("what several parts of a frame ask for is all asked for") {
  Intents all;
  Intents first;
  first.keep = true;
  first.pin_ns = 5;
  Intents second;
  second.go = Area::wire;
  second.copy = "90 3C 64";
  all.add(first);
  all.add(second);
  CHECK(all.keep);
  CHECK(!all.mark);
  CHECK(all.pin_ns == 5);
  CHECK(all.go == Area::wire);
  CHECK(all.copy == "90 3C 64");
}
