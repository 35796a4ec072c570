// tests/app/screens/notes_bars_test.cpp
#include "app/screens/notes_bars.h"

#include <memory>
#include <vector>

#include <doctest/doctest.h>

#include "core/notes/note_fact.h"

using namespace strumwright;
using namespace strumwright::screens;

namespace {

constexpr std::int64_t s = 1'000'000'000;

struct Session {
  std::unique_ptr<engine::Now> now = std::make_unique<engine::Now>();
  std::unique_ptr<engine::History> history = std::make_unique<engine::History>();
  FindingBook book;
  std::int64_t clock_ns = 100 * s;

  void add(std::uint8_t note, std::int64_t start_ns, std::int64_t end_ns) {
    engine::NoteSpan span;
    span.note = note;
    span.start_ns = start_ns;
    span.end_ns = end_ns;
    span.ending = static_cast<std::uint8_t>(notes::Ending::note_off);
    history->notes.append(span);
  }
  void hold(std::uint8_t note, std::int64_t since_ns) {
    now->held[now->held_count++] = {{midi::Channel{0}, note}, 80, since_ns};
  }
  Snapshot snapshot() const { return {*now, *history, clock_ns, true}; }
};

std::vector<int> notes_of(const std::vector<NoteBar>& bars) {
  std::vector<int> notes;
  for (const auto& bar : bars) notes.push_back(bar.note);
  return notes;
}

}  // namespace

TEST_CASE("a stretch has every note that sounds in it, also those that reach over an edge") {
  Session session;
  session.add(1, 1 * s, 9 * s);        // ends before
  session.add(2, 2 * s, 10 * s);       // ends at the left edge
  session.add(3, 12 * s, 13 * s);      // inside
  session.add(4, 12 * s, 20 * s);      // ends at the right edge
  session.add(5, 20 * s, 21 * s);      // starts at the right edge
  session.add(6, 5 * s, 40 * s);       // spans it
  session.add(7, 20 * s + 1, 50 * s);  // starts after
  session.hold(8, 15 * s);
  session.hold(9, 20 * s + 1);
  SoundingAt beyond;
  const auto bars = bars_between(session.snapshot(), session.book, beyond, 10 * s, 20 * s);
  CHECK(notes_of(bars) == std::vector<int>{2, 3, 4, 5, 6, 8});
  CHECK(!bars[4].is_down());
  CHECK(bars[5].is_down());
  CHECK(bars[5].end_ns == session.clock_ns);
}

TEST_CASE("what reaches over the right edge is found again when more notes have ended") {
  Session session;
  session.add(1, 5 * s, 30 * s);
  SoundingAt beyond;
  const auto read = [&] {
    return notes_of(bars_between(session.snapshot(), session.book, beyond, 10 * s, 20 * s));
  };
  CHECK(read() == std::vector<int>{1});
  session.add(2, 6 * s, 31 * s);
  session.add(3, 25 * s, 32 * s);
  CHECK(read() == std::vector<int>{1, 2});
  CHECK(read() == std::vector<int>{1, 2});
}

TEST_CASE("what was down at an instant: from its start to just before its end, oldest first") {
  Session session;
  session.add(1, 10 * s, 20 * s);
  session.add(2, 5 * s, 21 * s);
  session.hold(3, 8 * s);
  const auto at = [&](std::int64_t t_ns) {
    SoundingAt beyond;
    return notes_of(bars_at(session.snapshot(), session.book, beyond, t_ns));
  };
  CHECK(at(5 * s - 1).empty());
  CHECK(at(5 * s) == std::vector<int>{2});
  CHECK(at(10 * s) == std::vector<int>{2, 3, 1});
  CHECK(at(20 * s) == std::vector<int>{2, 3});
  CHECK(at(100 * s) == std::vector<int>{3});
}
