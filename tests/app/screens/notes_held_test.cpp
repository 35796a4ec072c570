// tests/app/screens/notes_held_test.cpp
#include "app/screens/notes_held.h"

#include <vector>

#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

constexpr std::int64_t s = 1'000'000'000;

std::vector<int> named(const HeldList& list) {
  std::vector<int> notes;
  for (const auto& bar : list.named) notes.push_back(bar.note);
  return notes;
}

}  // namespace

TEST_CASE("held notes: first those that a finding names, then those over 5 s, the rest counted") {
  auto session = silent_session();
  auto& now = *session.now;
  now.t_ns = 100 * s;
  const auto hold = [&](std::uint8_t note, std::int64_t since_ns) {
    now.held[now.held_count++] = {{midi::Channel{0}, note}, 80, since_ns};
  };
  hold(60, 90 * s);
  hold(61, 95 * s - 1);
  hold(62, 95 * s);  // exactly 5 s is not yet long
  hold(63, 99 * s);
  diagnosis::Finding stuck;
  stuck.rule = diagnosis::Rule::note_stuck;
  stuck.channel = 1;
  stuck.note = 63;
  stuck.t_ns = 99 * s;
  session.history->findings.append({stuck});
  FindingBook book;
  book.read(*session.history, *session.now, std::nullopt);
  SoundingAt at_moment;
  const auto list = held_list(session.snapshot(), {}, book, at_moment);
  CHECK(named(list) == std::vector<int>{63, 60, 61});
  CHECK(list.others == 1);
  CHECK(!list.channels);
  now.held[0].key.channel.index = 4;
  CHECK(held_list(session.snapshot(), {}, book, at_moment).channels);
}

TEST_CASE("at a frozen moment the list is that of the moment") {
  auto session = silent_session();
  session.now->t_ns = 100 * s;
  engine::NoteSpan span;
  span.note = 50;
  span.start_ns = 20 * s;
  span.end_ns = 40 * s;
  session.history->notes.append(span);
  FindingBook book;
  SoundingAt at_moment;
  const Moment moment{30 * s};
  const auto list = held_list(session.snapshot(), moment, book, at_moment);
  CHECK(named(list) == std::vector<int>{50});
  CHECK(list.at_ns == 30 * s);
  CHECK(list.pinned);
}
