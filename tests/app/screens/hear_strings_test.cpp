// tests/app/screens/hear_strings_test.cpp
#include "app/screens/hear_strings.h"

#include <algorithm>
#include <initializer_list>

#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

const StringShown* string_of(const std::vector<StringShown>& strings, std::uint8_t note) {
  const auto found = std::find_if(strings.begin(), strings.end(),
                                  [&](const StringShown& string) { return string.note == note; });
  return found == strings.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("every pitch of the last strums and every note that is down is a string, once") {
  auto session = busy_session();
  const auto strums = {session.now->stroke};
  const auto strings = strings_of(session.snapshot(), {}, strums);
  CHECK(std::is_sorted(strings.begin(), strings.end(),
                       [](const auto& a, const auto& b) { return a.note < b.note; }));
  for (const std::uint8_t note : {std::uint8_t{96}, std::uint8_t{61}, std::uint8_t{100}}) {
    REQUIRE(string_of(strings, note) != nullptr);
    CHECK(string_of(strings, note)->down);
  }
  const auto first = session.now->stroke.teeth[0].note;
  REQUIRE(string_of(strings, first) != nullptr);
  CHECK(!string_of(strings, first)->down);
  CHECK(string_of(strings, first)->level == 0.0);
}

TEST_CASE("single notes that belong to no strum have strings too, the last ones and no more") {
  auto session = silent_session();
  for (std::uint64_t i = 0; i <= notes_in_use; ++i) {
    engine::NoteSpan span;
    span.start_ns = static_cast<std::int64_t>(i) * 1'000;
    span.end_ns = span.start_ns + 500;
    span.note = i == 0 ? 40 : 60;
    session.history->notes.append(span);
  }
  const auto now = strings_of(session.snapshot(), {}, {});
  REQUIRE(now.size() == 1);
  CHECK(now[0].note == 60);
  CHECK(!now[0].down);
  const auto before = strings_of(session.snapshot(), {std::int64_t{600}}, {});
  REQUIRE(before.size() == 1);
  CHECK(before[0].note == 40);
}

TEST_CASE("a string swells when struck and thins to rest while its note is down") {
  auto session = silent_session();
  auto& now = *session.now;
  now.held_count = 1;
  const auto level = [&](std::int64_t age_ns) {
    now.held[0] = {{midi::Channel{0}, 60}, 80, now.t_ns - age_ns};
    return strings_of(session.snapshot(), {}, {})[0].level;
  };
  CHECK(level(0) == doctest::Approx(1.0));
  CHECK(level(swell_ns / 2) > level(swell_ns));
  CHECK(level(swell_ns) == level(10 * swell_ns));
  CHECK(level(swell_ns) > 0.0);
}

TEST_CASE("only a note that a finding names hangs, on its channel") {
  auto session = busy_session();
  const auto hangs = [&] { return string_of(strings_of(session.snapshot(), {}, {}), 96)->hangs; };
  CHECK(hangs());
  CHECK(!string_of(strings_of(session.snapshot(), {}, {}), 61)->hangs);
  session.now->held[0].key.channel.index = 4;
  CHECK(!hangs());
}

TEST_CASE("at a pinned moment the notes of then are down") {
  auto session = silent_session();
  engine::NoteSpan span;
  span.start_ns = 1'000;
  span.end_ns = 2'000;
  span.note = 60;
  session.history->notes.append(span);
  const auto down_at = [&](std::int64_t t_ns) {
    const auto strings = strings_of(session.snapshot(), {t_ns}, {});
    return !strings.empty() && strings[0].down;
  };
  CHECK(!down_at(999));
  CHECK(down_at(1'000));
  CHECK(down_at(1'999));
  CHECK(!down_at(2'000));
}
