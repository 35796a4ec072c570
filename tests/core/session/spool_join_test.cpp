// tests/core/session/spool_join_test.cpp
#include "core/session/spool_join.h"

#include <algorithm>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

#include "core/session/spool.h"

using namespace strumwright;
using namespace strumwright::session;

namespace {

constexpr std::int64_t second = 1'000'000'000;
using Bytes = std::vector<std::uint8_t>;
using Segments = std::map<std::uint64_t, std::string>;

InputHeader two_sources() {
  InputHeader header;
  header.sources = {{"H-02", true, wire::Grade::byte, std::nullopt, false},
                    {"port", false, wire::Grade::message, 1000, false}};
  header.started = "2026-01-31T18:00:00Z";
  return header;
}

Entry view_of(const OwnedEntry& from) {
  return {from.kind,  from.out,  from.src,  from.t_ns,
          from.bytes, from.lost, from.text, from.settings};
}

OwnedEntry chunk(std::int64_t t_ns, Bytes bytes, std::uint16_t src = 0) {
  OwnedEntry entry;
  entry.t_ns = t_ns;
  entry.src = src;
  entry.bytes = std::move(bytes);
  return entry;
}

OwnedEntry event(Entry::Kind kind, std::int64_t t_ns, std::uint16_t src = 0) {
  OwnedEntry entry;
  entry.kind = kind;
  entry.t_ns = t_ns;
  entry.src = src;
  return entry;
}

Segments spooled(const std::vector<OwnedEntry>& entries) {
  Spool spool(two_sources(), {});
  Segments segments;
  for (const auto& entry : entries) {
    const auto step = spool.push(view_of(entry));
    CHECK(step.begins_segment == !segments.contains(step.segment));
    segments[step.segment] += step.text;
  }
  return segments;
}

struct Kept {
  Joined joined;
  ReadOut capture;
  std::string text;
};

Kept join(const Segments& segments, std::int64_t from_ns = 0,
          std::optional<std::int64_t> end_ns = std::nullopt) {
  MemorySink sink;
  SpoolJoin joiner(sink, from_ns);
  for (const auto& [number, text] : segments) {
    MemorySource source(text);
    REQUIRE(joiner.add(number, "segment", source));
  }
  auto joined = joiner.finish(end_ns);
  REQUIRE(joined);
  return {*joined, read_out(InputKind::capture, sink.text), sink.text};
}

/// Entries of all kinds over some minutes, with chunks that end anywhere in a message.
std::vector<OwnedEntry> random_session(std::mt19937& random, std::size_t count) {
  std::vector<OwnedEntry> entries;
  Settings settings;
  std::int64_t t_ns = 0;
  for (std::size_t i = 0; i < count; ++i) {
    t_ns += static_cast<std::int64_t>(random() % (2 * second));
    auto entry = chunk(t_ns, {}, random() % 2);
    for (auto bytes = random() % 4; bytes > 0; --bytes) {
      static constexpr std::uint8_t likely[] = {0x90, 0x3C, 0x40, 0x64, 0x80,
                                                0xF8, 0xF0, 0xF7, 0xC0};
      entry.bytes.push_back(likely[random() % std::size(likely)]);
    }
    if (random() % 10 == 0) entry = event(Entry::Kind::gone, t_ns, random() % 2);
    if (random() % 10 == 0) entry = event(Entry::Kind::back, t_ns, random() % 2);
    if (random() % 20 == 0) {
      entry = event(Entry::Kind::settings, t_ns);
      settings.strum_gap_ms = static_cast<double>(random() % 300);
    }
    entry.settings = settings;
    entries.push_back(entry);
  }
  return entries;
}

/// What a reader of these entries knows at their end.
Carried state_after(const std::vector<OwnedEntry>& entries) {
  SpoolState state(2);
  for (const auto& entry : entries) state.push(view_of(entry));
  return state.carried();
}

}  // namespace

TEST_CASE("segments joined from the start are the session, entry for entry") {
  std::mt19937 random(3);
  const auto entries = random_session(random, 400);
  const auto segments = spooled(entries);
  CHECK(segments.size() > 5);
  const auto kept = join(segments);
  CHECK(kept.joined.remarks.empty());
  CHECK(kept.joined.entries == entries.size());
  CHECK(kept.capture.entries == entries);
  CHECK(kept.capture.header.started == "2026-01-31T18:00:00Z");
  CHECK_FALSE(kept.capture.header.carried);
}

TEST_CASE("what is kept from any moment on ends knowing what the whole session knows") {
  std::mt19937 random(4);
  const auto entries = random_session(random, 300);
  const auto segments = spooled(entries);
  const auto whole = state_after(entries);
  for (std::int64_t from_ns = 0; from_ns <= entries.back().t_ns; from_ns += 7 * second) {
    INFO("from ", from_ns);
    const auto kept = join(segments, from_ns);
    REQUIRE(kept.capture.complaint().empty());
    const auto after = state_after(kept.capture.entries);
    CHECK(after.settings == whole.settings);
    CHECK(after.gone == whole.gone);
    // Every entry from there on is there, in order; only carried ones stand between them.
    auto at = kept.capture.entries.begin();
    for (const auto& entry : entries) {
      if (entry.t_ns < from_ns) continue;
      at = std::find(at, kept.capture.entries.end(), entry);
      REQUIRE(at != kept.capture.entries.end());
      ++at;
    }
  }
}

TEST_CASE("a stretch that begins inside a message or running status restates the status, once") {
  struct Row {
    const char* what;
    Bytes before;
    Bytes first;
    Bytes kept;
  };
  const Row rows[] = {
      {"running status", {0x90, 0x3C, 0x64}, {0x40, 0x64}, {0x90, 0x40, 0x64}},
      {"half a message", {0x90, 0x3C}, {0x64}, {0x90, 0x3C, 0x64}},
      {"a status of its own", {0x90, 0x3C, 0x64}, {0x80, 0x3C, 0x40}, {0x80, 0x3C, 0x40}},
      {"real-time only", {0x90, 0x3C, 0x64}, {0xF8}, {0xF8}},
      {"nothing in force", {0xF6}, {0x40}, {0x40}},
  };
  for (const auto& row : rows) {
    INFO(row.what);
    const auto kept =
        join(spooled({chunk(0, row.before), chunk(second, row.first)}), second).capture;
    CHECK(kept.bytes() == row.kept);
    const bool restates = row.kept != row.first;
    CHECK(kept.entries.size() == (restates ? 3 : 1));
    if (restates)
      CHECK(kept.entries[0].text == "the status that source 0 had before is restated here");
  }
  const auto later = join(spooled({chunk(0, {0x90}), chunk(1, {0xF8}), chunk(2, {0x3C, 0x64})}), 1);
  CHECK(later.capture.bytes() == Bytes{0xF8, 0x90, 0x3C, 0x64});
}

TEST_CASE("settings and lost ports from before stand first in what is kept") {
  auto settings = event(Entry::Kind::settings, 1);
  settings.settings.refractory_ms = 20.0;
  auto last = chunk(second, {0xFE});
  last.settings = settings.settings;
  const auto kept = join(spooled({settings, event(Entry::Kind::gone, 2, 1), last}), second);
  CHECK(kept.joined.first_ns == second);
  auto carried_settings = settings;
  carried_settings.t_ns = second;
  auto carried_gone = event(Entry::Kind::gone, second, 1);
  carried_gone.settings = settings.settings;
  CHECK(kept.capture.entries == std::vector<OwnedEntry>{carried_settings, carried_gone, last});
}

TEST_CASE("an end is written when it is known, and not before the last entry") {
  const auto segments = spooled({chunk(5, {0xFE})});
  CHECK(join(segments).capture.entries.size() == 1);
  CHECK(join(segments, 0, 9).capture.entries.back() == event(Entry::Kind::end, 9));
  CHECK(join(segments, 0, 3).capture.entries.back() == event(Entry::Kind::end, 5));
}

TEST_CASE("what a crash left is recovered up to the last whole line, wherever it was cut") {
  std::vector<OwnedEntry> entries;
  for (int i = 0; i < 6; ++i) entries.push_back(chunk(i * 25 * second, {0x90, 0x3C, 0x64}));
  auto segments = spooled(entries);
  REQUIRE(segments.size() == 2);
  const auto last = segments[2];
  for (std::size_t cut = 0; cut <= last.size(); ++cut) {
    INFO("cut at ", cut);
    segments[2] = last.substr(0, cut);
    const auto kept = join(segments);
    CHECK(kept.capture.complaint().empty());
    const auto& read = kept.capture.entries;
    REQUIRE(read.size() >= 3);
    REQUIRE(read.size() <= entries.size());
    CHECK(std::equal(read.begin(), read.end(), entries.begin()));
    const bool at_line_end = cut > 0 && last[cut - 1] == '\n';
    const bool at_brace = cut < last.size() && last[cut] == '\n';
    CHECK(kept.joined.remarks.empty() == (at_line_end || at_brace));
  }
}

TEST_CASE("a missing or damaged segment is said, and what follows it is understood") {
  std::vector<OwnedEntry> entries = {chunk(0, {0x90, 0x3C, 0x64}), event(Entry::Kind::gone, 1, 1),
                                     chunk(60 * second, {0x80, 0x3C, 0x40}),
                                     event(Entry::Kind::back, 61 * second, 1),
                                     chunk(120 * second, {0x40, 0x40})};
  const auto segments = spooled(entries);
  REQUIRE(segments.size() == 3);
  auto without = segments;
  without.erase(2);
  auto damaged = segments;
  damaged[2] = damaged[2].substr(0, damaged[2].find('\n') + 1) + "\x01\n";
  for (const auto& each : {without, damaged}) {
    const auto kept = join(each).capture;
    CHECK(kept.complaint().empty());
    using Kind = Entry::Kind;
    std::vector<Kind> kinds;
    for (const auto& entry : kept.entries) kinds.push_back(entry.kind);
    CHECK(kinds == std::vector<Kind>{Kind::chunk, Kind::gone, Kind::mark, Kind::lost, Kind::back,
                                     Kind::mark, Kind::chunk, Kind::chunk});
    CHECK(kept.bytes() == Bytes{0x90, 0x3C, 0x64, 0x80, 0x40, 0x40});
  }
  CHECK(join(damaged).joined.remarks ==
        std::vector<std::string>{"segment 2 of the spool: the line is not valid JSON"});
}

TEST_CASE("nothing to keep is said by a count of 0, and no capture is written") {
  const auto kept = join(spooled({chunk(0, {0xFE})}), 1, 5);
  CHECK(kept.joined.entries == 0);
  CHECK(kept.text.empty());
}

TEST_CASE("segments of another session are refused, and times that go back left out") {
  MemorySink sink;
  SpoolJoin joiner(sink);
  MemorySource first(spooled({chunk(5, {0xFE})})[1]);
  REQUIRE(joiner.add(1, "a", first));
  MemorySource earlier(spooled({chunk(4, {0xFE})})[1]);
  REQUIRE(joiner.add(2, "b", earlier));
  MemorySource other("{\"strumwright\":\"capture\",\"version\":1,\"source\":\"x\"}\n");
  CHECK_FALSE(joiner.add(3, "c", other));
  const auto joined = joiner.finish();
  REQUIRE(joined);
  CHECK(joined->entries == 1);
  CHECK(joined->remarks ==
        std::vector<std::string>{
            "segment 2 of the spool: its times go back, so the rest is left out"});
}

TEST_CASE("an error of the sink ends the joining") {
  class Full final : public ByteSink {
    Result<Done> write(std::span<const std::uint8_t>) override {
      return Error{"the disk is full", "spool", "make room"};
    }
  };
  Full full;
  SpoolJoin joiner(full);
  MemorySource segment(spooled({chunk(5, {0xFE})})[1]);
  REQUIRE(joiner.add(1, "a", segment));
  const auto joined = joiner.finish();
  REQUIRE_FALSE(joined);
  CHECK(joined.error().what == "the disk is full");
}
