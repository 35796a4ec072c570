// tests/app/screens/finding_book_test.cpp
#include "app/screens/finding_book.h"

#include <algorithm>
#include <memory>
#include <optional>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;
using diagnosis::Rule;

namespace {

constexpr std::int64_t s = 1'000'000'000;

diagnosis::Finding finding(Rule rule, std::uint8_t note, std::int64_t t_ns,
                           std::int64_t decided_ns) {
  diagnosis::Finding made;
  made.rule = rule;
  made.severity = diagnosis::text_of(rule).severity;
  made.channel = 2;
  made.note = note;
  made.t_ns = t_ns;
  made.decided_ns = decided_ns;
  return made;
}

struct Session {
  std::unique_ptr<engine::Now> now = std::make_unique<engine::Now>();
  std::unique_ptr<engine::History> history = std::make_unique<engine::History>();
  FindingBook book;

  void add(const diagnosis::Finding& made) { history->findings.append({made}); }
  std::vector<int> notes_between(std::int64_t from_ns, std::int64_t to_ns) {
    book.read(*history, *now, std::nullopt);
    const auto view = history->findings.view();
    std::vector<int> notes;
    for (const auto i : book.between(view, from_ns, to_ns)) notes.push_back(*view[i].note);
    std::sort(notes.begin(), notes.end());
    return notes;
  }
};

}  // namespace

TEST_CASE("a kind is counted over the whole session, however the frames fell") {
  Session session;
  for (int i = 0; i < 300; ++i) {
    session.add(finding(Rule::note_flash, 60, i * s, i * s));
    if (i % 7 == 0) session.book.read(*session.history, *session.now, std::nullopt);
  }
  session.add(finding(Rule::note_flash, 61, 300 * s, 300 * s));
  session.book.read(*session.history, *session.now, std::nullopt);
  session.book.read(*session.history, *session.now, std::nullopt);
  const auto& groups = session.book.groups();
  REQUIRE(groups.size() == 2);
  CHECK(groups[0].newest.note == 61);
  CHECK(groups[0].count == 1);
  CHECK(groups[1].count == 300);
  CHECK(groups[1].newest.t_ns == 299 * s);
  CHECK(session.book.count(Rule::note_flash) == 301);
  CHECK(session.book.count(Rule::note_stuck) == 0);
}

TEST_CASE("findings are found by their time, both ends included, also those decided long after") {
  Session session;
  session.add(finding(Rule::note_flash, 1, 10 * s, 10 * s));
  session.add(finding(Rule::note_flash, 2, 20 * s, 20 * s));
  session.add(finding(Rule::note_flash, 3, 30 * s, 30 * s));
  session.add(finding(Rule::note_stuck, 4, 15 * s, 45 * s));
  session.add(finding(Rule::note_stuck, 5, 12 * s, 46 * s));
  CHECK(session.notes_between(10 * s, 20 * s) == std::vector<int>{1, 2, 4, 5});
  CHECK(session.notes_between(10 * s + 1, 20 * s - 1) == std::vector<int>{4, 5});
  CHECK(session.notes_between(15 * s, 15 * s) == std::vector<int>{4});
  CHECK(session.notes_between(15 * s + 1, 19 * s).empty());
  CHECK(session.notes_between(45 * s, 50 * s).empty());
}

TEST_CASE("a note hangs if a finding names its start, and no other start of it") {
  Session session;
  session.add(finding(Rule::note_stuck, 64, 5 * s, 40 * s));
  auto swapped = finding(Rule::note_swapped_off, 66, 9 * s, 9 * s);
  swapped.other = notes::NoteKey{midi::Channel{3}, 72};
  swapped.other_ns = 8 * s;
  session.add(swapped);
  session.add(finding(Rule::note_flash, 65, 5 * s, 5 * s));
  session.book.read(*session.history, *session.now, std::nullopt);
  CHECK(session.book.hangs(1, 64, 5 * s));
  CHECK(!session.book.hangs(1, 64, 6 * s));
  CHECK(!session.book.hangs(0, 64, 5 * s));
  CHECK(session.book.hangs(3, 72, 8 * s));
  CHECK(!session.book.hangs(1, 66, 9 * s));
  CHECK(!session.book.hangs(1, 65, 5 * s));
}

TEST_CASE("a step leads to the next of the same kind, and nowhere past the last") {
  Session session;
  session.add(finding(Rule::note_flash, 60, 1 * s, 1 * s));
  session.add(finding(Rule::note_flash, 61, 2 * s, 2 * s));
  session.add(finding(Rule::note_flash, 60, 3 * s, 3 * s));
  const auto first = finding(Rule::note_flash, 60, 1 * s, 1 * s);
  const auto next = FindingBook::neighbour(*session.history, first, 1);
  REQUIRE(next.has_value());
  CHECK(next->t_ns == 3 * s);
  CHECK(FindingBook::neighbour(*session.history, *next, -1)->t_ns == 1 * s);
  CHECK(!FindingBook::neighbour(*session.history, *next, 1).has_value());
  CHECK(!FindingBook::neighbour(*session.history, first, -1).has_value());
}

TEST_CASE("the order follows what is picked and what the now-state says") {
  Session session;
  session.add(finding(Rule::note_stuck, 64, 5 * s, 40 * s));
  session.add(finding(Rule::note_stuck, 65, 6 * s, 41 * s));
  const auto first = [&](const std::optional<diagnosis::Finding>& pinned) {
    session.book.read(*session.history, *session.now, pinned);
    return *session.book.groups().front().newest.note;
  };
  CHECK(first(std::nullopt) == 65);
  CHECK(first(finding(Rule::note_stuck, 64, 5 * s, 40 * s)) == 64);
  CHECK(first(std::nullopt) == 65);
  session.now->version = 1;
  session.now->held_count = 1;
  session.now->held[0].key = {midi::Channel{1}, 64};
  CHECK(first(std::nullopt) == 64);
}
