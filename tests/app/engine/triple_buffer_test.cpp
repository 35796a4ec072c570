// tests/app/engine/triple_buffer_test.cpp
#include "app/engine/triple_buffer.h"

#include <array>
#include <atomic>
#include <cstdint>
#include <thread>

#include <doctest/doctest.h>

using namespace strumwright::engine;

TEST_CASE("the reader gets the newest value, once, and keeps it while others are written") {
  TripleBuffer<int> buffer;
  CHECK_FALSE(buffer.fetch());
  buffer.back() = 1;
  buffer.publish();
  buffer.back() = 2;
  buffer.publish();
  REQUIRE(buffer.fetch());
  CHECK(buffer.front() == 2);
  CHECK_FALSE(buffer.fetch());
  buffer.back() = 3;
  buffer.publish();
  buffer.back() = 4;
  CHECK(buffer.front() == 2);
  REQUIRE(buffer.fetch());
  CHECK(buffer.front() == 3);
}

TEST_CASE("between two threads no value is torn and none comes after a newer one") {
  constexpr std::uint64_t last = 20'000;
  using Value = std::array<std::uint64_t, 64>;
  TripleBuffer<Value> buffer;
  std::thread writer([&] {
    for (std::uint64_t i = 1; i <= last; ++i) {
      buffer.back().fill(i);
      buffer.publish();
    }
  });
  std::uint64_t newest = 0;
  std::uint64_t torn = 0;
  std::uint64_t back = 0;
  while (newest < last) {
    if (!buffer.fetch()) {
      std::this_thread::yield();
      continue;
    }
    const Value& value = buffer.front();
    for (const auto part : value) torn += part != value[0] ? 1 : 0;
    back += value[0] <= newest ? 1 : 0;
    newest = value[0];
  }
  writer.join();
  CHECK(torn == 0);
  CHECK(back == 0);
}
