// tests/app/engine/bench_test.cpp
#include "app/engine/bench.h"

#include <algorithm>
#include <atomic>
#include <fstream>
#include <iterator>
#include <random>

#include "tests/app/engine/bench_support.h"
#include <doctest/doctest.h>

#include "app/engine/file_run.h"

using namespace strumwright;
using namespace strumwright::engine;

namespace {

constexpr std::int64_t ms = 1'000'000;

/// A bench with one fake source that is running.
struct Rig {
  explicit Rig(BenchSetup setup = {}, int sources = 1) : bench(std::move(setup)) {
    for (int i = 0; i < sources; ++i) {
      auto source = std::make_unique<FakeSource>(raw_source("H-0" + std::to_string(i + 1)));
      fakes.push_back(source.get());
      session.sources.push_back(std::move(source));
    }
  }
  void start() { REQUIRE(bench.start(std::move(session))); }
  FakeSource& fake(std::size_t i = 0) { return *fakes[i]; }

  SessionSetup session;
  std::vector<FakeSource*> fakes;
  Bench bench;
};

/// The same as `Account`, taken from a session.
class LiveAccount : public Listener {
 public:
  void stroke(const pipeline::JudgedStroke& judged) override { account.stroke(judged); }
  void chord(const pipeline::ChordChange& change) override { account.chord(change); }
  void finding(const diagnosis::Finding& finding) override { account.finding(finding); }
  void note(std::uint16_t src, const notes::NoteFact& fact) override { account.note(src, fact); }
  Account account;
};

std::vector<std::string> replay(const std::filesystem::path& file) {
  auto recording = open_recording_file(file, session::InputKind::capture);
  REQUIRE(recording);
  Account account;
  pipeline::Pipeline pipeline(recording->reader->header().sources, {}, account);
  for (;;) {
    auto entry = recording->reader->next();
    REQUIRE(entry);
    if (!*entry) break;
    pipeline.push(**entry);
  }
  pipeline.finish();
  return account.in_order();
}

/// Chunks of any length of notes on, notes off and noise, at random times, some stamped early.
void play_wildly(std::vector<FakeSource*> fakes, std::uint32_t seed, int chunks) {
  std::mt19937 random(seed);
  const auto below = [&](std::uint32_t limit) { return static_cast<int>(random() % limit); };
  for (int i = 0; i < chunks; ++i) {
    std::vector<std::uint8_t> bytes;
    for (int message = below(4); message >= 0; --message) {
      const auto note = static_cast<std::uint8_t>(60 + below(12));
      const auto velocity = static_cast<std::uint8_t>(below(2) * 80);
      bytes.insert(bytes.end(), {0x90, note, velocity});
      if (below(20) == 0) bytes.pop_back();
      if (below(30) == 0) bytes.push_back(0xFE);
    }
    const std::int64_t early_ns = below(4) == 0 ? below(20) * ms : 0;
    auto& fake = *fakes[static_cast<std::size_t>(below(static_cast<std::uint32_t>(fakes.size())))];
    fake.ring().push(io::now_ns() - early_ns, bytes);
    if (below(40) == 0) fake.ring().push_status(io::StampedRing::Kind::gone, io::now_ns(), "gone");
    if (below(40) == 0) fake.ring().push_status(io::StampedRing::Kind::back, io::now_ns(), "back");
    std::this_thread::sleep_for(std::chrono::microseconds(below(3) == 0 ? below(30'000) : 200));
  }
}

}  // namespace

TEST_CASE("a note stands in the now-state at once, and its release after it") {
  Rig rig;
  rig.start();
  rig.fake().send({0x90, 60, 80});
  REQUIRE(wait_until([&] { return rig.bench.now().held_count == 1; }));
  CHECK(rig.bench.now().held[0].key.number == 60);
  CHECK(rig.bench.now().source_name.view() == "H-01");
  CHECK(rig.bench.now().first_bytes.view() == "90 3C 50");
  rig.fake().send({0x90, 60, 0});
  REQUIRE(wait_until([&] { return rig.bench.now().held_count == 0; }));
  REQUIRE(wait_until([&] { return rig.bench.history().notes.end() == 1; }));
  const auto notes = rig.bench.history().notes.view();
  CHECK(notes[0].note == 60);
  CHECK(notes[0].velocity == 80);
  CHECK(notes[0].ending == static_cast<std::uint8_t>(notes::Ending::velocity_zero));
}

TEST_CASE("what was recorded gives the same notes, strokes, chords and findings again") {
  for (const int sources : {1, 2}) {
    for (const std::uint32_t seed : {1U, 2U, 3U}) {
      CAPTURE(sources);
      CAPTURE(seed);
      TestFolder folder;
      LiveAccount live;
      Rig rig({}, sources);
      rig.session.record_to = folder.path() / "live.jsonl";
      rig.session.listener = &live;
      rig.start();
      play_wildly(rig.fakes, seed, 120);
      rig.bench.stop();
      const auto recorded = live.account.in_order();
      CHECK(recorded.size() > 100);
      const auto lines = replay(folder.path() / "live.jsonl");
      CHECK(lines.size() == recorded.size());
      const auto differs =
          std::mismatch(lines.begin(), lines.end(), recorded.begin(), recorded.end());
      CHECK((differs.first == lines.end() ? "" : *differs.first) ==
            (differs.second == recorded.end() ? "" : *differs.second));
    }
  }
}

TEST_CASE("a session of silence wakes the screen once, not again and again") {
  std::atomic<int> wakes{0};
  BenchSetup setup;
  setup.wake = [&] { ++wakes; };
  Rig rig(std::move(setup));
  rig.start();
  REQUIRE(wait_until([&] { return rig.bench.version() > 0; }));
  const auto version = rig.bench.version();
  std::this_thread::sleep_for(std::chrono::milliseconds(400));
  CHECK(rig.bench.version() == version);
  CHECK(wakes == 1);
}

TEST_CASE("a port that goes ends its notes and is shown as gone until it is back") {
  Rig rig;
  rig.start();
  rig.fake().send({0x90, 60, 80});
  REQUIRE(wait_until([&] { return rig.bench.now().held_count == 1; }));
  rig.fake().ring().push_status(io::StampedRing::Kind::gone, io::now_ns(), "H-02 was pulled out");
  REQUIRE(wait_until([&] { return rig.bench.now().link == Link::gone; }));
  CHECK(rig.bench.now().held_count == 0);
  CHECK(rig.bench.now().notice.view() == "H-02 was pulled out");
  rig.fake().ring().push_status(io::StampedRing::Kind::back, io::now_ns(), "H-02 is back");
  REQUIRE(wait_until([&] { return rig.bench.now().link == Link::linked; }));
}

TEST_CASE("a full ring is counted as lost, never silent") {
  Rig rig;
  rig.start();
  const std::vector<std::uint8_t> much(io::StampedRing::usual_bytes + 1, 0x01);
  CHECK_FALSE(rig.fake().ring().push(io::now_ns(), much));
  REQUIRE(wait_until([&] { return rig.bench.now().lost == much.size(); }));
}

TEST_CASE("a source that does not start leaves the session before it readable") {
  Rig rig;
  rig.start();
  rig.fake().send({0x90, 60, 80});
  REQUIRE(wait_until([&] { return rig.bench.now().held_count == 1; }));
  SessionSetup next;
  auto source = std::make_unique<FakeSource>(raw_source("H-09"));
  source->fail();
  next.sources.push_back(std::move(source));
  const auto started = rig.bench.start(std::move(next));
  REQUIRE_FALSE(started);
  CHECK(started.error().what == "the port is not there");
  CHECK(rig.bench.now().source_name.view() == "H-01");
  CHECK(rig.bench.now().link == Link::ended);
  CHECK_FALSE(rig.bench.running());
}

TEST_CASE("a new session has a new epoch, an empty history and a greater version") {
  Rig rig;
  rig.start();
  rig.fake().send({0x90, 60, 80});
  REQUIRE(wait_until([&] { return rig.bench.now().held_count == 1; }));
  rig.bench.stop();
  const auto version = rig.bench.version();
  CHECK(rig.bench.history().bytes.end() == 3);
  SessionSetup next;
  next.sources.push_back(std::make_unique<FakeSource>(raw_source("H-03")));
  REQUIRE(rig.bench.start(std::move(next)));
  REQUIRE(wait_until([&] { return rig.bench.version() > version; }));
  CHECK(rig.bench.now().epoch == 2);
  CHECK(rig.bench.now().source_name.view() == "H-03");
  CHECK(rig.bench.history().bytes.end() == 0);
}

TEST_CASE("marks and settings enter the session where they were asked for") {
  TestFolder folder;
  Rig rig;
  rig.session.record_to = folder.path() / "marks.jsonl";
  rig.start();
  rig.bench.mark("that one");
  session::Settings settings;
  settings.strum_gap_ms = 200.0;
  rig.bench.set(settings);
  REQUIRE(wait_until([&] { return rig.bench.history().source_events.end() == 2; }));
  rig.bench.stop();
  std::ifstream file(folder.path() / "marks.jsonl");
  const std::string text(std::istreambuf_iterator<char>(file), {});
  const auto mark = text.find("\"mark\":\"that one\"");
  const auto changed = text.find("\"strum_gap_ms\":200");
  CHECK(mark != std::string::npos);
  CHECK(changed != std::string::npos);
  CHECK(mark < changed);
  CHECK(text.find("\"end\":true") != std::string::npos);
}

TEST_CASE("keep names the last minutes and the session goes on") {
  TestFolder folder;
  BenchSetup setup;
  setup.data_directory = folder.path();
  Rig rig(std::move(setup));
  rig.start();
  rig.fake().send({0x90, 60, 80, 0x90, 60, 0});
  REQUIRE(wait_until([&] { return rig.bench.now().spooling; }));
  rig.bench.keep("the odd one, just now!");
  std::vector<Notice> notices;
  REQUIRE(wait_until([&] {
    for (auto& notice : rig.bench.take_notices()) notices.push_back(notice);
    return !notices.empty();
  }));
  REQUIRE_FALSE(notices[0].failed);
  CHECK(notices[0].file.filename().string().ends_with("-the-odd-one-just-now.jsonl"));
  CHECK(notices[0].file.parent_path() == folder.path() / "kept");
  const auto lines = replay(notices[0].file);
  CHECK(std::count_if(lines.begin(), lines.end(),
                      [](const auto& line) { return line.starts_with("note 0 60"); }) == 2);
  CHECK(rig.bench.running());
  rig.bench.stop();
  CHECK(std::filesystem::is_empty(folder.path() / "spool"));
}

TEST_CASE("an opened recording is read to its end and stays readable") {
  TestFolder folder;
  const auto file = folder.path() / "two.hex";
  std::ofstream(file) << "90 3c 40 90 3c 00 90 40 40\n";
  Bench bench({});
  REQUIRE(bench.open_recording(file, session::InputKind::hex));
  REQUIRE(wait_until([&] { return !bench.running(); }));
  CHECK(bench.now().from_file);
  CHECK(bench.now().link == Link::ended);
  CHECK(bench.now().messages == 3);
  CHECK(bench.now().held_count == 1);
  CHECK(bench.history().notes.end() == 1);
  CHECK(bench.finished_pipeline()->state(0).counts.messages == 3);
  CHECK_FALSE(bench.open_recording(folder.path() / "none.hex", session::InputKind::hex));
}

TEST_CASE("a note shows long before a source that is late lets time pass") {
  Rig rig;
  auto late = std::make_unique<FakeSource>(raw_source(), 3'000 * ms);
  rig.fakes[0] = late.get();
  rig.session.sources[0] = std::move(late);
  rig.start();
  const auto sent_ns = io::now_ns();
  rig.fake().send({0x90, 60, 80});
  REQUIRE(wait_until([&] { return rig.bench.now().held_count == 1; }));
  CHECK(io::now_ns() - sent_ns < 1'500 * ms);
}

TEST_CASE("a recording that cannot be made is an error before anything starts") {
  Rig rig;
  rig.session.record_to = "/dev/null/x/live.jsonl";
  const auto started = rig.bench.start(std::move(rig.session));
  REQUIRE_FALSE(started);
  CHECK(started.error().where.find("/dev/null/x") != std::string::npos);
  CHECK(rig.bench.recording_refused());
  CHECK_FALSE(rig.bench.running());
  CHECK(rig.bench.now().epoch == 0);
}

TEST_CASE("settings that are not the usual ones are in the recording from its start") {
  TestFolder folder;
  LiveAccount live;
  Rig rig;
  rig.session.settings.strum_gap_ms = 30.0;
  rig.session.record_to = folder.path() / "gap.jsonl";
  rig.session.listener = &live;
  rig.start();
  for (std::uint8_t note = 60; note < 70; ++note) {
    rig.fake().send({0x90, note, 80});
    std::this_thread::sleep_for(std::chrono::milliseconds(note % 2 == 0 ? 10 : 45));
  }
  rig.bench.stop();
  CHECK(rig.bench.history().strokes.end() > 2);
  CHECK(replay(folder.path() / "gap.jsonl") == live.account.in_order());
}
