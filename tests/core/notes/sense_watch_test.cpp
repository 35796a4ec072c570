// tests/core/notes/sense_watch_test.cpp
#include "core/notes/sense_watch.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::notes;

namespace {

constexpr std::int64_t ms = 1'000'000;

/// Bytes as one block of the source: first and last began then, an FE among them or not.
struct Block {
  std::int64_t first_ns;
  std::int64_t last_ns;
  bool sensing;
};

}  // namespace

TEST_CASE("active sensing is lost after the first FE and beyond 300 ms only") {
  struct Row {
    const char* source;
    std::vector<Block> blocks;
    std::vector<std::int64_t> lost_ns;
  };
  const Row rows[] = {
      {"M1 4.2: nothing expected before FE", {{0, 0, false}, {900 * ms, 900 * ms, false}}, {}},
      {"M1 4.2: any byte keeps the link",
       {{0, 0, true}, {300 * ms, 300 * ms, false}, {600 * ms, 600 * ms, false}},
       {}},
      {"M1 4.2: longer is a loss", {{0, 0, true}, {300 * ms + 1, 300 * ms + 1, true}}, {300 * ms}},
      {"M1 4.2: once, until FE",
       {{0, 0, true}, {400 * ms, 400 * ms, false}, {900 * ms, 900 * ms, false}},
       {300 * ms}},
      {"M1 4.2: again from the next FE",
       {{0, 0, true}, {400 * ms, 400 * ms, true}, {900 * ms, 900 * ms, false}},
       {300 * ms, 700 * ms}},
      {"the silence counts from the last byte of a block",
       {{0, 9 * ms, true}, {309 * ms, 309 * ms, false}, {609 * ms + 1, 609 * ms + 1, false}},
       {609 * ms}},
  };
  for (const auto& row : rows) {
    INFO(row.source);
    SenseWatch watch;
    std::vector<std::int64_t> lost_ns;
    for (const auto& block : row.blocks) {
      if (const auto lost = watch.push(block.first_ns, block.last_ns, block.sensing)) {
        lost_ns.push_back(*lost);
      }
    }
    CHECK(lost_ns == row.lost_ns);
  }
}

TEST_CASE("a loss is stamped with its deadline, whenever time is let pass") {
  SenseWatch watch;
  CHECK_FALSE(watch.push(0, 0, true));
  REQUIRE(watch.deadline_ns());
  CHECK(*watch.deadline_ns() == 300 * ms);
  CHECK_FALSE(watch.advance(300 * ms));
  const auto lost = watch.advance(5000 * ms);
  REQUIRE(lost);
  CHECK(*lost == 300 * ms);
  CHECK_FALSE(watch.advance(9000 * ms));
  CHECK_FALSE(watch.deadline_ns());
}

TEST_CASE("a port that went is not watched until its next FE") {
  SenseWatch watch;
  CHECK_FALSE(watch.push(0, 0, true));
  watch.disarm();
  CHECK_FALSE(watch.deadline_ns());
  CHECK_FALSE(watch.push(900 * ms, 900 * ms, true));
  CHECK(watch.advance(1200 * ms + 1) == 1200 * ms);
}
