// tests/core/diagnosis/all_off_watch_test.cpp
#include "core/diagnosis/all_off_watch.h"

#include <vector>

#include <doctest/doctest.h>

#include "core/limits.h"

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

notes::NoteFact message(std::int64_t t_ns, std::uint8_t channel = 0) {
  return {.what = notes::NoteFact::What::mode_message,
          .how = notes::Ending::mode_message,
          .key = {{channel}, 123},
          .t_ns = t_ns};
}

std::vector<Finding> decide(AllOffWatch& watch) {
  std::vector<Finding> findings;
  watch.decide({2, watch.deadline_ns(), false}, findings);
  return findings;
}

}  // namespace

TEST_CASE(
    "a message waits 1 s for the releases of the notes that it ended, and only if it ended any") {
  AllOffWatch watch;
  watch.message(message(5));
  CHECK(watch.deadline_ns() == no_deadline_ns);
  watch.message(message(10));
  watch.ended({{0}, 60});
  watch.ended({{0}, 64});
  CHECK(watch.deadline_ns() == 1'000'000'010);
  watch.released({{0}, 60});
  watch.released({{1}, 64});
  const auto findings = decide(watch);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].src == 2);
  CHECK(findings[0].t_ns == 10);
  CHECK(findings[0].decided_ns == 1'000'000'010);
  CHECK_FALSE(findings[0].note);
  CHECK(findings[0].count == 1);
  CHECK(findings[0].listed.has(64));
  CHECK(watch.deadline_ns() == no_deadline_ns);
}

TEST_CASE("a release counts for the newest message that ended the note alone") {
  AllOffWatch watch;
  watch.message(message(10));
  watch.ended({{0}, 60});
  watch.message(message(20));
  watch.ended({{0}, 60});
  watch.released({{0}, 60});
  watch.released({{0}, 60});
  CHECK(decide(watch).size() == 1);
  CHECK(decide(watch).empty());
}

TEST_CASE("a flood of messages is held back no further than the limit") {
  AllOffWatch watch;
  for (std::size_t i = 0; i < limits::decisions_waiting; ++i) {
    CHECK_FALSE(watch.full());
    watch.message(message(0));
    watch.ended({{0}, 60});
  }
  CHECK(watch.full());
}
