// tests/core/diagnosis/start_log_test.cpp
#include "core/diagnosis/start_log.h"

#include <limits>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

constexpr std::uint64_t none = std::numeric_limits<std::uint64_t>::max();

notes::NoteKey key(std::uint8_t number, std::uint8_t channel = 0) { return {{channel}, number}; }

strum::Stroke stroke_of(const std::vector<notes::NoteKey>& keys) {
  strum::Stroke stroke;
  for (const auto note : keys) {
    strum::Onset onset;
    onset.channel = note.channel;
    onset.note = note.number;
    stroke.onsets.push_back(onset);
  }
  return stroke;
}

void end(StartLog& log, notes::NoteKey note, std::uint64_t order,
         notes::Ending how = notes::Ending::note_off) {
  log.end({.how = how, .key = note, .t_ns = static_cast<std::int64_t>(order) * 10, .byte = order},
          order);
}

}  // namespace

TEST_CASE("a stroke takes its starts with what became of them, and leaves the next") {
  StartLog log;
  log.start(key(60), 1);
  log.start(key(62), 2);
  end(log, key(60), 3);
  log.start(key(62), 4);
  end(log, key(62), 5, notes::Ending::reset);
  log.start(key(60), 6);
  CHECK(log.releases() == 1);
  CHECK(log.oldest() == 1);
  CHECK(log.has(key(60)));
  CHECK_FALSE(log.has(key(62)));

  const auto starts = log.take(stroke_of({key(60), key(62), key(62)}));
  REQUIRE(starts.size() == 3);
  CHECK(starts[0].end_order == 3);
  CHECK(starts[0].released);
  CHECK(starts[0].end_ns == 30);
  CHECK(starts[0].end_byte == 3);
  CHECK(starts[1].restart_order == 4);
  CHECK(starts[1].end_order == 0);
  CHECK(starts[2].end_order == 5);
  CHECK_FALSE(starts[2].released);

  CHECK(log.releases() == 0);
  CHECK(log.oldest() == 6);
  CHECK(log.has(key(60)));
  end(log, key(60), 7);
  CHECK(log.releases() == 1);
  CHECK(log.take(stroke_of({key(60)})).size() == 1);
  CHECK(log.oldest() == none);
}

TEST_CASE("what happens to a start after its stroke was taken is none of the log's business") {
  StartLog log;
  log.start(key(60), 1);
  CHECK(log.take(stroke_of({key(60)})).size() == 1);
  CHECK_FALSE(log.has(key(60)));
  end(log, key(60), 2);
  log.start(key(60), 3);
  CHECK(log.releases() == 0);
  CHECK(log.oldest() == 3);
}

TEST_CASE("channel 10 is in no stroke and in no log") {
  StartLog log;
  log.start(key(36, 9), 1);
  CHECK(log.oldest() == none);
  CHECK_FALSE(log.has(key(36, 9)));
}

TEST_CASE("a stroke that the log does not know in full gives nothing, and the log begins anew") {
  StartLog log;
  log.start(key(60), 1);
  CHECK(log.take(stroke_of({key(60), key(61)})).empty());
  CHECK(log.oldest() == none);
  log.start(key(62), 2);
  CHECK(log.take(stroke_of({key(62)})).size() == 1);
}

TEST_CASE("the log holds no more starts than a stroke may have") {
  StartLog log;
  std::vector<notes::NoteKey> keys;
  for (std::size_t i = 0; i < limits::stroke_onsets + 5; ++i) {
    log.start(key(60), i + 1);
    if (i < limits::stroke_onsets) keys.push_back(key(60));
  }
  CHECK_FALSE(log.has(key(60)));
  auto stroke = stroke_of(keys);
  CHECK(StartLog(log).take(stroke).size() == limits::stroke_onsets);
  stroke.onsets_left_out = 5;
  CHECK(log.take(stroke).empty());
}
