// tests/app/engine/merge_test.cpp
#include "app/engine/merge.h"

#include <cstdint>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::engine;

namespace {

constexpr std::int64_t ms = 1'000'000;
using Order = std::vector<std::pair<std::size_t, std::int64_t>>;

Order drain(Merge& merge, std::int64_t now_ns) {
  Order order;
  while (const auto next = merge.next(now_ns)) {
    order.emplace_back(next->src, next->item->t_ns);
    merge.pop(next->src);
  }
  return order;
}

void push(Merge& merge, std::size_t src, std::int64_t t_ns) {
  const std::vector<std::uint8_t> byte{0xF8};
  REQUIRE(merge.ring(src).push(t_ns, byte));
}

}  // namespace

TEST_CASE("one source is never held back") {
  io::Doorbell bell;
  Merge merge(1, bell);
  push(merge, 0, 10 * ms);
  push(merge, 0, 12 * ms);
  CHECK(drain(merge, 10 * ms) == Order{{0, 10 * ms}, {0, 12 * ms}});
  CHECK(merge.due_ns() == Merge::never_ns);
}

TEST_CASE("of several sources an item waits 5 ms for an earlier one, no longer") {
  io::Doorbell bell;
  Merge merge(2, bell);
  push(merge, 0, 10 * ms);
  CHECK(drain(merge, 15 * ms - 1).empty());
  CHECK(merge.due_ns() == 15 * ms);
  CHECK(drain(merge, 15 * ms) == Order{{0, 10 * ms}});
  CHECK(merge.due_ns() == Merge::never_ns);
}

TEST_CASE("items go by stamp, equal ones by source, as soon as every source shows one") {
  io::Doorbell bell;
  Merge merge(2, bell);
  push(merge, 0, 10 * ms);
  push(merge, 0, 30 * ms);
  push(merge, 1, 10 * ms);
  push(merge, 1, 20 * ms);
  CHECK(drain(merge, 10 * ms) == Order{{0, 10 * ms}, {1, 10 * ms}, {1, 20 * ms}});
  CHECK(merge.due_ns() == 35 * ms);
}

TEST_CASE("when the sources have stopped the rest goes at once, in order") {
  io::Doorbell bell;
  Merge merge(3, bell);
  push(merge, 2, 10 * ms);
  push(merge, 1, 9 * ms);
  Order order;
  while (const auto next = merge.rest()) {
    order.emplace_back(next->src, next->item->t_ns);
    merge.pop(next->src);
  }
  CHECK(order == Order{{1, 9 * ms}, {2, 10 * ms}});
}
