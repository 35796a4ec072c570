// tests/app/io/doorbell_test.cpp
#include "app/io/doorbell.h"

#include <thread>

#include <doctest/doctest.h>

#include "app/io/clock.h"

using namespace strumwright::io;

namespace {

constexpr std::int64_t ms = 1'000'000;

}  // namespace

TEST_CASE("a wait ends by itself at its limit") {
  Doorbell bell;
  const auto start_ns = now_ns();
  bell.wait(bell.count(), 20 * ms);
  CHECK(now_ns() - start_ns >= 19 * ms);
}

TEST_CASE("a bell that rang since the count was taken lets nobody sleep") {
  Doorbell bell;
  const auto seen = bell.count();
  bell.ring();
  const auto start_ns = now_ns();
  bell.wait(seen, 10'000 * ms);
  CHECK(now_ns() - start_ns < 5'000 * ms);
}

TEST_CASE("no ring of thousands is slept through") {
  Doorbell there;
  Doorbell back;
  constexpr int rounds = 5'000;
  std::thread echo([&] {
    std::uint32_t seen = 0;
    for (int i = 0; i < rounds; ++i) {
      while (there.count() == seen) there.wait(seen, 10'000 * ms);
      ++seen;
      back.ring();
    }
  });
  const auto start_ns = now_ns();
  for (std::uint32_t i = 0; i < rounds; ++i) {
    there.ring();
    while (back.count() == i) back.wait(i, 10'000 * ms);
  }
  echo.join();
  // A single lost wake-up would cost a limit of 10 s.
  CHECK(now_ns() - start_ns < 9'000 * ms);
}
