// tests/core/diagnosis/hold_watch_test.cpp
#include "core/diagnosis/hold_watch.h"

#include <algorithm>
#include <map>
#include <random>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

/// Starts `count` notes of the channel and ends each, all younger than what is held.
void pass(HoldWatch& watch, int count, std::uint8_t channel = 0) {
  for (int i = 0; i < count; ++i) {
    watch.start({{channel}, 100}, 1'000);
    CHECK(watch.end({{channel}, 100}).empty());
  }
}

std::vector<notes::NoteKey> fire(HoldWatch& watch) {
  std::vector<notes::NoteKey> stuck;
  watch.fire(stuck);
  return stuck;
}

}  // namespace

TEST_CASE("a note past its limit is held too long with the 8th other that came and went") {
  HoldWatch watch;
  CHECK(watch.deadline_ns() == no_deadline_ns);
  watch.start({{0}, 60}, 10);
  CHECK(watch.deadline_ns() == 10);
  pass(watch, 7);
  CHECK(fire(watch).empty());
  CHECK(watch.deadline_ns() == no_deadline_ns);
  watch.start({{0}, 100}, 1'000);
  const auto ripe = watch.end({{0}, 100});
  CHECK(ripe.has(60));
  pass(watch, 20);  // once a start
}

TEST_CASE("8 others before the limit make it fall due at the limit") {
  HoldWatch watch;
  watch.start({{3}, 60}, 10);
  pass(watch, 8, 3);
  CHECK(fire(watch) == std::vector<notes::NoteKey>{{{3}, 60}});
  watch.start({{3}, 60}, 20);  // a new start is watched anew
  CHECK(watch.deadline_ns() == 20);
  CHECK(fire(watch).empty());
}

TEST_CASE("what is forgotten falls due no more") {
  HoldWatch watch;
  watch.start({{0}, 60}, 10);
  watch.forget();
  CHECK(watch.deadline_ns() == no_deadline_ns);
  CHECK(watch.end({{0}, 60}).empty());
}

TEST_CASE("random holds are counted as by hand") {
  struct Held {
    std::int64_t due_ns;
    int others = 0;
    int place;  ///< by age of the start
    bool done = false;
  };
  std::mt19937 random(7);
  for (int round = 0; round < 300; ++round) {
    HoldWatch watch;
    std::map<int, Held> held;
    const auto ripe = [&held](std::int64_t now_ns) {
      std::vector<int> notes;
      for (auto& [note, state] : held) {
        if (state.done || state.due_ns > now_ns || state.others < 8) continue;
        state.done = true;
        notes.push_back(note);
      }
      return notes;
    };
    for (int step = 0; step < 200; ++step) {
      const auto now_ns = static_cast<std::int64_t>(step);
      while (watch.deadline_ns() < now_ns) {
        const std::int64_t due_ns = watch.deadline_ns();
        std::vector<int> found;
        for (const auto key : fire(watch)) found.push_back(key.number);
        std::sort(found.begin(), found.end());
        REQUIRE(found == ripe(due_ns));
      }
      const int note = static_cast<int>(random() % 6);
      const notes::NoteKey key{{0}, static_cast<std::uint8_t>(note)};
      if (random() % 2 == 0) {
        watch.start(key, now_ns + 30);
        held[note] = {now_ns + 30, 0, step, false};
        continue;
      }
      std::vector<int> found;
      watch.end(key).for_each([&found](std::uint8_t number) { found.push_back(number); });
      if (const auto ended = held.find(note); ended != held.end()) {
        for (auto& [other, state] : held) state.others += state.place < ended->second.place ? 1 : 0;
        held.erase(ended);
      }
      REQUIRE(found == ripe(now_ns - 1));
    }
  }
}
