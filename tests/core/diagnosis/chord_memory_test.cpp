// tests/core/diagnosis/chord_memory_test.cpp
#include "core/diagnosis/chord_memory.h"

#include <doctest/doctest.h>

using namespace strumwright;
using diagnosis::ChordMemory;

TEST_CASE("the name in force is the newest that began by then") {
  ChordMemory memory;
  CHECK_FALSE(memory.in_force(100));
  memory.settle(10, {0, 0, 0});
  memory.settle(20, {7, 0, 7});
  CHECK_FALSE(memory.in_force(9));
  CHECK(memory.in_force(10) == harmony::Reading{0, 0, 0});
  CHECK(memory.in_force(19) == harmony::Reading{0, 0, 0});
  CHECK(memory.in_force(20) == harmony::Reading{7, 0, 7});
  CHECK(memory.in_force(1'000) == harmony::Reading{7, 0, 7});
}

TEST_CASE("only changes are remembered, and only the newest of them") {
  ChordMemory memory;
  memory.settle(0, {1, 0, 1});
  for (std::int64_t t_ns = 1; t_ns < 1'000; ++t_ns) memory.settle(t_ns, {2, 0, 2});
  CHECK(memory.in_force(0) == harmony::Reading{1, 0, 1});
  for (std::int64_t t_ns = 1'000; t_ns < 1'255; ++t_ns) {
    memory.settle(t_ns, {static_cast<std::uint8_t>(t_ns % 2 + 3), 0, 0});
  }
  CHECK_FALSE(memory.in_force(0));  // 256 changes since
  CHECK(memory.in_force(1) == harmony::Reading{2, 0, 2});
}
