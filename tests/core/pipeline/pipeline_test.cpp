// tests/core/pipeline/pipeline_test.cpp
#include "core/pipeline/pipeline.h"

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "tests/core/pipeline/session_text.h"
#include <doctest/doctest.h>

#include "core/midi/status.h"

using namespace strumwright;
using namespace strumwright::test;
using session::Entry;
using wire::Grade;

namespace {

constexpr std::int64_t ms = 1'000'000;

/// A few seconds of play with everything that can go wrong, seeded.
Session random_session(std::mt19937& random, std::uint16_t sources) {
  const auto pick = [&](int most) {
    return static_cast<int>(random() % static_cast<unsigned>(most));
  };
  Session session;
  std::int64_t t_ns = pick(100) * ms;
  std::vector<int> down;
  for (int i = 0; i < 120; ++i) {
    const auto src = static_cast<std::uint16_t>(pick(sources));
    std::vector<std::uint8_t> bytes;
    const int length = 1 + pick(12);
    for (int k = 0; k < length; ++k) {
      const int kind = pick(20);
      const auto note = static_cast<std::uint8_t>(60 + pick(8));
      if (kind < 12) {
        const auto velocity = static_cast<std::uint8_t>(pick(2) == 0 ? 0 : 80);
        bytes.insert(bytes.end(), {static_cast<std::uint8_t>(0x90 + pick(2)), note, velocity});
      } else if (kind < 15) {
        bytes.insert(bytes.end(), {note, 64});
      } else {
        bytes.push_back(static_cast<std::uint8_t>(pick(256)));
      }
    }
    session.push_back(chunk(t_ns, bytes, src));
    const int pause = pick(10);
    t_ns += pause < 6 ? pick(20) * ms : (pause < 9 ? pick(400) * ms : 300 * ms);
    if (pick(40) == 0) session.push_back(other(Entry::Kind::lost, t_ns, src));
    if (pick(60) == 0) {
      session.push_back(other(Entry::Kind::gone, t_ns, src));
      session.push_back(other(Entry::Kind::back, t_ns, src));
    }
  }
  session.push_back(other(Entry::Kind::end, t_ns));
  return session;
}

/// The same bytes at the same times, in other chunks. A chunk is cut only where its second part
/// keeps its time: before the source's next chunk begins.
Session cut_again(const Session& session, std::mt19937& random) {
  Session cut;
  for (std::size_t i = 0; i < session.size(); ++i) {
    const auto& owned = session[i];
    std::int64_t next_ns = INT64_MAX;
    for (std::size_t j = i + 1; j < session.size(); ++j)
      next_ns = std::min(next_ns, session[j].entry.t_ns);
    std::size_t from = 0;
    for (std::size_t k = 1; k < owned.bytes.size(); ++k) {
      const std::int64_t t_ns = owned.entry.t_ns + static_cast<std::int64_t>(k) * midi::byte_ns;
      if (t_ns >= next_ns || random() % 2 == 0) continue;
      auto part = owned;
      part.entry.t_ns = owned.entry.t_ns + static_cast<std::int64_t>(from) * midi::byte_ns;
      part.bytes.assign(owned.bytes.begin() + static_cast<std::ptrdiff_t>(from),
                        owned.bytes.begin() + static_cast<std::ptrdiff_t>(k));
      cut.push_back(part);
      from = k;
    }
    auto rest = owned;
    if (owned.entry.kind == Entry::Kind::chunk) {
      rest.entry.t_ns = owned.entry.t_ns + static_cast<std::int64_t>(from) * midi::byte_ns;
      rest.bytes.assign(owned.bytes.begin() + static_cast<std::ptrdiff_t>(from), owned.bytes.end());
    }
    cut.push_back(rest);
  }
  return cut;
}

std::vector<std::int64_t> random_advances(const Session& session, std::mt19937& random) {
  std::vector<std::int64_t> advances;
  const std::int64_t end_ns = session.back().entry.t_ns;
  for (int i = 0; i < 200; ++i) {
    advances.push_back(static_cast<std::int64_t>(random()) % (end_ns + 1));
  }
  for (const auto& owned : session) advances.push_back(owned.entry.t_ns);
  std::sort(advances.begin(), advances.end());
  return advances;
}

}  // namespace

TEST_CASE("any split of the input and any extra advance give byte-identical audits") {
  std::mt19937 random(11);
  for (int round = 0; round < 300; ++round) {
    CAPTURE(round);
    const std::uint16_t count = round % 3 == 0 ? 2 : 1;
    const Grade grades[] = {Grade::byte, Grade::wire, Grade::message, Grade::none};
    std::vector<session::SourceInfo> sources(count, raw_source(grades[round % 4]));
    if (round % 5 == 0) sources[0] = message_source();
    const auto session = random_session(random, count);
    const auto whole = audit(sources, session);
    REQUIRE(whole.size() > 500);
    // Compared as truth values: the texts are too long to print.
    CHECK((audit(sources, session, random_advances(session, random)) == whole));
    const auto cut = cut_again(session, random);
    CHECK(cut.size() > session.size());
    CHECK((audit(sources, cut) == whole));
    CHECK((audit(sources, cut, random_advances(session, random)) == whole));
  }
}

TEST_CASE("byte k of a chunk is at t + k * 320 us, and never later than the source's next chunk") {
  struct Row {
    const char* what;
    Session session;
    std::string findings;
  };
  const Row rows[] = {
      {"alone: the release comes 960 us after the start, under 2 ms",
       {chunk(0, {0x90, 60, 80, 0x80, 60, 64})},
       "note.flash warning 0 960000"},
      {"a real-time byte between moves the release by 320 us",
       {chunk(0, {0x90, 60, 80, 0xF8, 0x80, 60, 64})},
       "note.flash warning 0 1280000"},
      {"the next chunk pulls the rest to itself",
       {chunk(0, {0x90, 60, 80, 0x80}), chunk(500'000, {60, 64})},
       "note.flash warning 0 500000"},
  };
  for (const auto& row : rows) {
    INFO(row.what);
    CHECK(findings({raw_source()}, row.session) == row.findings);
  }
}

TEST_CASE("an open message holds the clock at its first byte until 300 ms pass without a byte") {
  // The orphan at 0 is due at 250 ms. A start that begins at 249.9 ms and completes later comes
  // before it: the channel had a start since, which rules out (3) only where one came in between.
  const Session held = {
      chunk(0, {0x90, 60, 80}),        chunk(10 * ms, {0x80, 60, 64}),
      chunk(20 * ms, {0x80, 60, 64}),  // orphan, due at 270 ms
      chunk(269 * ms, {0x90, 62}),     chunk(500 * ms, {80}),
      chunk(600 * ms, {0x80, 62, 64}), other(Entry::Kind::end, 1000 * ms),
  };
  CHECK(findings({raw_source()}, held) == "note.off-unmatched warning 20000000 270000000");
}

TEST_CASE("sensing lost ends the notes at the deadline, whoever calls") {
  const Session session = {chunk(0, {0xFE}), chunk(10 * ms, {0x90, 60, 80}),
                           chunk(900 * ms, {0x90, 60, 0}), other(Entry::Kind::end, 2000 * ms)};
  // Last byte at 10.64 ms; the release at 900 ms is excused, since the ending was 589 ms before.
  CHECK(findings({raw_source()}, session) == "timing.sense-lost error 310640000 310640000");
}

TEST_CASE("what the end of the input settles carries its time") {
  const Session stuck = {chunk(0, {0x90, 60, 80, 0x90}), other(Entry::Kind::end, 50 * ms)};
  CHECK(findings({raw_source()}, stuck) ==
        "note.stuck error 0 50000000\nwire.cut-short warning 960000 50000000");
  CHECK(findings({raw_source()}, {other(Entry::Kind::end, 50 * ms)}) ==
        "wire.silent info 0 50000000");
  CHECK(findings({raw_source(Grade::none)}, {}).empty());
}

TEST_CASE("a source that falls to batched is judged on time up to the fall only") {
  Session session = {chunk(0, {0x90, 60, 80}), chunk(1 * ms, {0x90, 60, 0})};  // a flash before
  for (int i = 0; i < 9; ++i) {
    session.push_back(chunk(300 * ms, {0x90, static_cast<std::uint8_t>(70 + i), 80}));
  }
  for (int i = 0; i < 9; ++i) {
    session.push_back(chunk(300 * ms, {0x90, static_cast<std::uint8_t>(70 + i), 0}));
  }
  session.push_back(other(Entry::Kind::end, 2000 * ms));
  const auto found = findings({message_source()}, session);
  CHECK(found.find("note.flash warning 0 1000000") != std::string::npos);
  CHECK(found.find("timing.batched info 300000000") != std::string::npos);
  CHECK(found.find("note.flash warning 300000000") == std::string::npos);
}

TEST_CASE("load counts the bytes of 100 ms and is null where times cannot be trusted") {
  Session session;
  for (int i = 0; i < 400; ++i) session.push_back(chunk(i * midi::byte_ns, {0xF8}));
  session.push_back(other(Entry::Kind::end, 1000 * ms));
  const auto text = audit({raw_source()}, session);
  CHECK(text.find("\"load_mean\":1,\"load_peak\":1.0016,") != std::string::npos);
  CHECK(findings({raw_source()}, session) == "wire.load warning 0 89920000");
  const auto untimed = audit({raw_source(Grade::none)}, session);
  CHECK(untimed.find("\"load_mean\":null,\"load_peak\":null,") != std::string::npos);
  CHECK(untimed.find("\"strums\":null,\"loose_onsets\":null,\"chords\":[]") != std::string::npos);
}

TEST_CASE("a note status lost behind a control change is suspected, with times and without") {
  const std::vector<std::uint8_t> lost{0x90, 60, 80, 0xB0, 7, 100, 60, 0, 0x90, 60, 0};
  const std::vector<std::uint8_t> other{0x90, 60, 80, 0xB0, 7, 100, 61, 0, 0x90, 60, 0};
  for (const auto grade : {Grade::byte, Grade::none}) {
    CAPTURE(static_cast<int>(grade));
    const auto found = findings({raw_source(grade)}, {chunk(0, lost)});
    CHECK(found.find("wire.suspect-status info 1920000 1920000") != std::string::npos);
    CHECK(findings({raw_source(grade)}, {chunk(0, other)}).empty());
  }
}

TEST_CASE("input lost raises one finding and excuses what follows until a status") {
  const Session session = {chunk(0, {0x90, 60}), other(Entry::Kind::lost, 5 * ms),
                           chunk(10 * ms, {60, 80, 0xF7, 0x90, 60, 80}), chunk(100 * ms, {60, 0}),
                           other(Entry::Kind::end, 500 * ms)};
  CHECK(findings({raw_source()}, session) == "wire.overflow error 5000000 5000000");
}
