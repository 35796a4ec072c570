// tests/app/engine/now_keeper_test.cpp
#include "app/engine/now_keeper.h"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "tests/app/engine/bench_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::engine;

namespace {

constexpr std::int64_t ms = 1'000'000;

/// A keeper and a pipeline that are fed like the bench feeds them.
struct Rig {
  explicit Rig(std::vector<session::SourceInfo> sources = {raw_source()})
      : keeper(sources, history, nullptr), pipeline(sources, {}, keeper) {}

  void chunk(std::int64_t t_ns, std::vector<std::uint8_t> bytes, std::uint16_t src = 0,
             bool out = false) {
    session::Entry entry;
    entry.t_ns = t_ns;
    entry.src = src;
    entry.out = out;
    entry.bytes = bytes;
    enter(entry);
  }
  void enter(const session::Entry& entry) {
    keeper.entry(entry);
    pipeline.push(entry);
  }
  const Now& now(std::int64_t t_ns) {
    keeper.fill(pipeline, t_ns, *state);
    return *state;
  }

  History history;
  NowKeeper keeper;
  pipeline::Pipeline pipeline;
  std::unique_ptr<Now> state = std::make_unique<Now>();
};

}  // namespace

TEST_CASE("each byte has its index and its time on the wire, sent ones are counted apart") {
  Rig rig;
  rig.chunk(10 * ms, {0x90, 60, 80});
  rig.chunk(20 * ms, {0x80, 60, 0}, 0, true);
  rig.chunk(30 * ms, {0xFE});
  const auto bytes = rig.history.bytes.view();
  REQUIRE(bytes.end() == 7);
  CHECK(bytes[1].t_ns == 10 * ms + 320'000);
  CHECK(bytes[2].value() == 80);
  CHECK(bytes[3].out());
  CHECK(bytes[3].index() == 0);
  CHECK(bytes[6].index() == 3);
  CHECK_FALSE(bytes[6].out());
  CHECK(rig.now(30 * ms).first_bytes.view() == "90 3C 50 FE");
}

TEST_CASE("a note started again ends its first span; the release ends the second") {
  Rig rig;
  rig.chunk(0, {0x90, 60, 80});
  rig.chunk(100 * ms, {0x90, 60, 90});
  rig.chunk(200 * ms, {0x80, 60, 0});
  rig.pipeline.advance(300 * ms);
  const auto notes = rig.history.notes.view();
  REQUIRE(notes.end() == 2);
  CHECK(notes[0].ending == NoteSpan::started_again);
  CHECK(notes[0].velocity == 80);
  CHECK(notes[0].end_ns == 100 * ms);
  CHECK(notes[1].start_ns == 100 * ms);
  CHECK(notes[1].velocity == 90);
  CHECK(notes[1].end_ns == 200 * ms);
  CHECK(notes[1].ending == static_cast<std::uint8_t>(notes::Ending::note_off));
}

TEST_CASE("a stroke is provisional in the now-state, then final there and in the history") {
  Rig rig;
  for (int i = 0; i < 4; ++i) {
    rig.chunk(i * 20 * ms, {0x90, static_cast<std::uint8_t>(60 + 3 * i), 80});
  }
  const Now& running = rig.now(60 * ms);
  CHECK(running.stroke.serial == 1);
  CHECK_FALSE(running.stroke.final);
  CHECK(running.stroke.tooth_count == 4);
  CHECK(running.held_count == 4);
  CHECK(running.held[0].key.number == 60);  // the oldest first
  rig.pipeline.advance(300 * ms);
  const Now& done = rig.now(300 * ms);
  CHECK(done.stroke.serial == 1);
  CHECK(done.stroke.final);
  CHECK(done.stroke.strum);
  CHECK(done.stroke.span_ns == 60 * ms);
  CHECK(done.stroke.direction == static_cast<std::uint8_t>(strum::Direction::up));
  const auto strokes = rig.history.strokes.view();
  REQUIRE(strokes.end() == 1);
  CHECK(strokes[0].teeth[3].note == 69);
}

TEST_CASE("the newest findings come first, older ones than 64 stand in the history only") {
  Rig rig;
  for (int i = 0; i < 70; ++i) rig.chunk(i * 10 * ms, {0xF4});
  const Now& now = rig.now(700 * ms);
  CHECK(now.findings_total == 70);
  CHECK(now.finding_count == 64);
  CHECK(now.findings[0].t_ns == 690 * ms);
  CHECK(now.findings[63].t_ns == 60 * ms);
  CHECK(rig.history.findings.end() == 70);
  CHECK(now.errors + now.warnings + now.infos == 70);
}

TEST_CASE("load columns count the bytes that began in each 100 ms, empty ones are left out") {
  Rig rig;
  rig.chunk(100 * ms - 320'000, {0xF8, 0xF8, 0xF8});
  rig.chunk(500 * ms, {0xF8});
  CHECK(rig.history.load.end() == 2);  // the one under way is not there yet
  static_cast<void>(rig.now(600 * ms));
  const auto load = rig.history.load.view();
  REQUIRE(load.end() == 3);
  CHECK(load[0].t_ns == 0);
  CHECK(load[0].bytes == 1);
  CHECK(load[1].t_ns == 100 * ms);
  CHECK(load[1].bytes == 2);
  CHECK(load[2].t_ns == 500 * ms);
}

TEST_CASE("with several sources the sums are of all, chord and stroke of the one heard last") {
  Rig rig({raw_source("H-01"), raw_source("H-02")});
  rig.chunk(0, {0x90, 60, 80, 0x90, 64, 80, 0x90, 67, 80}, 0);
  rig.chunk(500 * ms, {0x90, 57, 80, 0x90, 60, 80, 0x90, 64, 80}, 1);
  const Now& now = rig.now(500 * ms);
  CHECK(now.messages == 6);
  CHECK(now.held_count == 6);
  CHECK(harmony::to_text(now.chord.best) == "Am");
  CHECK(now.first_byte_ns == 0);
}

TEST_CASE("gone, back and end set the link, for any of several sources") {
  Rig rig({raw_source("H-01"), raw_source("H-02")});
  rig.keeper.fixed().link = Link::linked;
  session::Entry entry;
  using Kind = session::Entry::Kind;
  struct Row {
    Kind kind;
    std::uint16_t src;
    Link link;
  };
  for (const auto& row : {Row{Kind::gone, 0, Link::gone}, Row{Kind::gone, 1, Link::gone},
                          Row{Kind::back, 0, Link::gone}, Row{Kind::back, 1, Link::linked},
                          Row{Kind::mark, 0, Link::linked}, Row{Kind::end, 0, Link::ended}}) {
    entry.kind = row.kind;
    entry.src = row.src;
    entry.t_ns += ms;
    rig.enter(entry);
    CHECK(rig.now(entry.t_ns).link == row.link);
  }
  CHECK(rig.history.source_events.end() == 6);
}
