// tests/core/diagnosis/restart_watch_test.cpp
#include "core/diagnosis/restart_watch.h"

#include <vector>

#include <doctest/doctest.h>

#include "core/limits.h"

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

constexpr notes::NoteKey key{{0}, 60};

Restart restart(std::uint64_t order, std::uint64_t awaited_orphan, bool awaits_stroke = false) {
  return {.key = key,
          .t_ns = static_cast<std::int64_t>(order),
          .order = order,
          .start_before_order = 1,
          .awaited_orphan = awaited_orphan,
          .awaits_stroke = awaits_stroke};
}

}  // namespace

TEST_CASE("a restart that waits for nothing is raised at once") {
  RestartWatch watch(3);
  std::vector<Finding> findings;
  Restart plain = restart(9, 0);
  plain.start_before_ns = 4;
  watch.push(plain, findings);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].rule == Rule::note_on_twice);
  CHECK(findings[0].src == 3);
  CHECK(findings[0].decided_ns == 9);
  CHECK(findings[0].other_ns == 4);
  CHECK(findings[0].amount == 5);
}

TEST_CASE("a restart is raised with the last orphan that it waits for") {
  RestartWatch watch(0);
  std::vector<Finding> findings;
  watch.push(restart(9, 8), findings);
  watch.orphan_decided(7, {0, 100, false}, findings);
  CHECK(findings.empty());
  watch.orphan_decided(8, {0, 200, false}, findings);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].decided_ns == 200);
  watch.finish({0, 300, true}, findings);
  CHECK(findings.size() == 1);
}

TEST_CASE("the first start after an orphan that named the note is explained, no other") {
  RestartWatch watch(0);
  std::vector<Finding> findings;
  watch.push(restart(9, 8), findings);
  Restart second = restart(11, 8);
  second.start_before_order = 9;
  watch.push(second, findings);
  watch.explain({{0}, 61}, 8);
  watch.explain(key, 8);
  watch.finish({0, 300, true}, findings);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].t_ns == 11);
  CHECK(findings[0].at_end);
}

TEST_CASE("a restart waits for the stroke of the start before it, and for the orphan too") {
  RestartWatch watch(0);
  std::vector<Finding> findings;
  watch.push(restart(9, 8, true), findings);
  watch.orphan_decided(8, {0, 200, false}, findings);
  CHECK(findings.empty());
  CHECK(watch.take_covered(1).empty());
  const auto covered = watch.take_covered(2);
  REQUIRE(covered.size() == 1);
  CHECK(covered[0].awaited_orphan == 0);
  watch.finish({0, 300, true}, findings);
  CHECK(findings.empty());
}

TEST_CASE("of too many restarts the oldest is raised early") {
  RestartWatch watch(0);
  std::vector<Finding> findings;
  for (std::uint64_t i = 0; i <= limits::decisions_waiting; ++i) {
    CHECK(findings.empty());
    watch.push(restart(i + 2, 1), findings);
  }
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].t_ns == 2);
}
