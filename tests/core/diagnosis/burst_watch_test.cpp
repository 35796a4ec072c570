// tests/core/diagnosis/burst_watch_test.cpp
#include "core/diagnosis/burst_watch.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

constexpr std::int64_t ms = 1'000'000;

notes::NoteKey key(std::uint8_t number) { return {{0}, number}; }

/// Four starts, 60 to 63, as the facts 1 to 4.
std::vector<LoggedStart> four() {
  std::vector<LoggedStart> starts;
  for (std::uint8_t i = 0; i < 4; ++i) {
    starts.push_back({.key = key(static_cast<std::uint8_t>(60 + i)), .order = i + 1U});
  }
  return starts;
}

void release(LoggedStart& start, std::uint64_t order, std::int64_t t_ns) {
  start.released = true;
  start.end_order = order;
  start.end_ns = t_ns;
  start.end_byte = order * 100;
}

constexpr std::uint64_t now = 1000;

}  // namespace

TEST_CASE("a burst is the first notes released in order, at most 50 ms apart") {
  auto starts = four();
  release(starts[0], 10, 500 * ms);
  release(starts[1], 11, 550 * ms);
  const auto burst = burst_before(starts, 7, now);
  REQUIRE(burst);
  CHECK(burst->is_short());
  CHECK(burst->stroke_ns == 7);
  CHECK(burst->last_ns == 550 * ms);
  CHECK(burst->last_byte == 1100);
  REQUIRE(burst->missing().size() == 2);
  CHECK(burst->missing()[0].key == key(62));
  CHECK(burst->missing()[0].start_order == 3);

  release(starts[1], 11, 550 * ms + 1);
  CHECK_FALSE(burst_before(starts, 0, now));
  release(starts[1], 9, 500 * ms);  // before the first
  CHECK_FALSE(burst_before(starts, 0, now));
  release(starts[1], 11, 510 * ms);
  starts[1].released = false;  // a mode message is no release
  CHECK_FALSE(burst_before(starts, 0, now));
}

TEST_CASE("a burst is seen as it stood before a fact") {
  auto starts = four();
  release(starts[0], 10, 500 * ms);
  release(starts[1], 11, 510 * ms);
  release(starts[3], 20, 900 * ms);
  starts[2].restart_order = 15;
  CHECK_FALSE(burst_before(starts, 0, now));
  CHECK_FALSE(burst_before(starts, 0, 16));
  REQUIRE(burst_before(starts, 0, 15));
  CHECK(burst_before(starts, 0, 15)->is_short());
  REQUIRE(burst_before(starts, 0, 11));
  CHECK_FALSE(burst_before(starts, 0, 11)->is_short());  // one release
}

TEST_CASE("a doubled note keeps its first place and counts by its newest start") {
  auto starts = four();
  starts[0].restart_order = 5;
  starts.push_back({.key = key(60), .order = 5});
  release(starts[4], 10, 500 * ms);
  release(starts[1], 11, 510 * ms);
  const auto burst = burst_before(starts, 0, now);
  REQUIRE(burst);
  CHECK(burst->came == 2);
  CHECK(burst->notes.size() == 4);
}

TEST_CASE("the watch follows releases to come and gives up what cannot be a burst") {
  const auto watched = [] {
    BurstWatch watch;
    watch.add(*burst_before(four(), 0, now));
    return watch;
  };
  auto watch = watched();
  watch.released(key(60), 500 * ms, 1);
  CHECK_FALSE(watch.missing(key(62)));
  watch.released(key(61), 550 * ms, 2);
  CHECK(watch.missing(key(62)));
  CHECK(watch.missing(key(63)));
  CHECK_FALSE(watch.missing(key(61)));
  const auto burst = watch.take(key(63));
  CHECK(burst.came == 2);
  CHECK(burst.last_ns == 550 * ms);
  CHECK(burst.last_byte == 2);
  CHECK_FALSE(watch.missing(key(62)));

  watch = watched();
  watch.released(key(60), 500 * ms, 1);
  watch.released(key(61), 550 * ms + 1, 2);
  CHECK_FALSE(watch.missing(key(62)));

  watch = watched();
  watch.released(key(61), 500 * ms, 1);
  watch.released(key(60), 510 * ms, 2);
  CHECK_FALSE(watch.missing(key(62)));

  watch = watched();
  watch.released(key(60), 500 * ms, 1);
  watch.released(key(61), 510 * ms, 2);
  watch.lost(key(63));
  CHECK_FALSE(watch.missing(key(62)));

  watch = watched();
  watch.released(key(60), 500 * ms, 1);
  watch.released(key(61), 510 * ms, 2);
  watch.released(key(62), 520 * ms, 3);  // one left is no tail
  CHECK_FALSE(watch.missing(key(63)));
}

TEST_CASE("places of finished bursts are used again") {
  BurstWatch watch;
  for (int round = 0; round < 70'000; ++round) {
    watch.add(*burst_before(four(), 0, now));
    watch.released(key(60), 500 * ms, 1);
    watch.released(key(61), 500 * ms, 2);
    REQUIRE(watch.missing(key(62)));
    if (round % 2 == 0) watch.lost(key(62));
    // Otherwise the next stroke of the same notes takes the place.
  }
}
