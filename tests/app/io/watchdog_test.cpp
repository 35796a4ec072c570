// tests/app/io/watchdog_test.cpp
#include "app/io/watchdog.h"

#include <memory>

#include <doctest/doctest.h>

#include "app/io/clock.h"
#include "app/io/doorbell.h"
#include "app/io/gate.h"

using namespace strumwright::io;

TEST_CASE("a close that ends in time is waited for, and what it owned is gone then") {
  auto owned = std::make_shared<int>(1);
  const std::weak_ptr<int> seen = owned;
  CHECK(close_within([owned = std::move(owned)] {}, 5000));
  CHECK(seen.expired());
}

TEST_CASE("a close that hangs is left behind") {
  const auto bell = std::make_shared<Doorbell>();
  const auto start_ns = now_ns();
  CHECK_FALSE(close_within([bell] { bell->wait(0, 5'000'000'000); }, 20));
  CHECK(now_ns() - start_ns < 2'000'000'000);
  bell->ring();
}

TEST_CASE("a gate that closed lets nobody in, and closes only when nobody is inside") {
  Gate gate;
  REQUIRE(gate.enter());
  std::atomic<bool> closed{false};
  std::thread closer([&] {
    gate.close();
    closed = true;
  });
  while (gate.enter()) gate.leave();
  CHECK_FALSE(closed);
  gate.leave();
  closer.join();
  CHECK(closed);
  CHECK_FALSE(gate.enter());
}
