// tests/app/screens/parts/finding_groups_test.cpp
#include "app/screens/parts/finding_groups.h"

#include <memory>
#include <optional>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using diagnosis::Finding;
using diagnosis::Rule;
using diagnosis::Severity;

namespace {

Finding finding(Rule rule, Severity severity, std::uint8_t note, std::int64_t t_ns) {
  Finding made;
  made.rule = rule;
  made.severity = severity;
  made.channel = 1;
  made.note = note;
  made.t_ns = t_ns;
  return made;
}

}  // namespace

TEST_CASE("findings of one rule and note are one group, of another note another") {
  const auto now = std::make_unique<engine::Now>();
  const Finding newest_first[] = {finding(Rule::note_flash, Severity::warning, 60, 9),
                                  finding(Rule::note_flash, Severity::warning, 62, 8),
                                  finding(Rule::note_flash, Severity::warning, 60, 7)};
  const auto groups = screens::group_findings(newest_first, *now, std::nullopt);
  REQUIRE(groups.size() == 2);
  CHECK(groups[0].count == 2);
  CHECK(groups[0].newest.t_ns == 9);
  CHECK(groups[1].count == 1);
}

TEST_CASE("groups stand pinned first, then going on, then worst, then newest") {
  const auto now = std::make_unique<engine::Now>();
  now->held_count = 1;
  now->held[0].key = {midi::Channel{0}, 64};
  const auto info = finding(Rule::note_shared, Severity::info, 50, 9);
  const auto newer_error = finding(Rule::note_off_unmatched, Severity::error, 51, 8);
  const auto older_error = finding(Rule::note_off_unmatched, Severity::error, 52, 7);
  const auto still_down = finding(Rule::note_stuck, Severity::error, 64, 6);
  const auto ended = finding(Rule::note_stuck, Severity::error, 65, 5);
  const Finding newest_first[] = {info, newer_error, older_error, still_down, ended};
  const auto notes_of = [&](const std::optional<Finding>& pinned) {
    std::vector<int> notes;
    for (const auto& group : screens::group_findings(newest_first, *now, pinned)) {
      notes.push_back(*group.newest.note);
    }
    return notes;
  };
  CHECK(notes_of(std::nullopt) == std::vector<int>{64, 51, 52, 65, 50});
  CHECK(notes_of(info) == std::vector<int>{50, 64, 51, 52, 65});
}

TEST_CASE("a swapped release goes on while the note that it left is down") {
  const auto now = std::make_unique<engine::Now>();
  auto swapped = finding(Rule::note_swapped_off, Severity::error, 86, 3);
  swapped.other = notes::NoteKey{midi::Channel{0}, 96};
  CHECK(!screens::group_findings({&swapped, 1}, *now, std::nullopt)[0].going_on);
  now->held_count = 1;
  now->held[0].key = {midi::Channel{0}, 96};
  CHECK(screens::group_findings({&swapped, 1}, *now, std::nullopt)[0].going_on);
}
