// tests/core/diagnosis/orphan_court_test.cpp
#include "core/diagnosis/orphan_court.h"

#include <vector>

#include "tests/core/diagnosis/note_script_support.h"
#include <doctest/doctest.h>

#include "core/limits.h"

using namespace strumwright;
using namespace strumwright::diagnosis;
using namespace strumwright::diagnosis::script;

TEST_CASE("a court names what it may name: notes of the channel or of the number, while it waits") {
  NoteTable table;
  notes::NoteFact fact{.key = {{0}, 63}};
  table.start(fact, 1);
  fact.key = {{1}, 64};
  table.start(fact, 2);
  fact.key = {{2}, 70};
  table.start(fact, 3);
  OrphanCourt court;
  const auto may_name = [&](notes::NoteKey key) {
    return court.newest_that_may_name(key, table.at(key));
  };
  CHECK(may_name({{0}, 63}) == 0);
  court.push({.key = {{0}, 64}, .t_ns = 10, .order = 4}, table);
  CHECK(court.deadline_ns() == 10 + orphan_wait_ns);
  CHECK(may_name({{0}, 63}) == 4);
  CHECK(may_name({{1}, 64}) == 4);
  CHECK(may_name({{2}, 70}) == 0);
  fact.key = {{0}, 65};
  table.start(fact, 5);
  CHECK(may_name({{0}, 65}) == 0);  // not down at the orphan

  std::vector<Finding> findings;
  const auto judged = court.decide({1, 99, false}, table, {}, findings);
  CHECK(judged.order == 4);
  CHECK(judged.named == notes::NoteKey{{1}, 64});
  CHECK(may_name({{0}, 63}) == 0);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].rule == Rule::note_channel_crossed);
  CHECK(findings[0].src == 1);
  CHECK(findings[0].decided_ns == 99);
}

TEST_CASE("a flood of orphans in one instant is judged, the oldest early") {
  std::vector<Act> acts;
  for (std::size_t i = 0; i <= limits::decisions_waiting; ++i) {
    acts.push_back(off(5 * ms, static_cast<std::uint8_t>(i % 128)));
  }
  const auto findings = judge(acts, s);
  REQUIRE(findings.size() == limits::decisions_waiting + 1);
  CHECK(findings[0].decided_ns == 5 * ms);
  CHECK(findings[1].decided_ns == 255 * ms);
}
