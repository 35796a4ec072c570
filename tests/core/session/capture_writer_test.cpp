// tests/core/session/capture_writer_test.cpp
#include "core/session/capture_writer.h"

#include <random>
#include <string>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::session;

namespace {

std::string line_of(const Entry& entry) {
  std::string text;
  append_line(entry, text);
  return text;
}

Entry entry_of(Entry::Kind kind, std::int64_t t_ns) {
  Entry entry;
  entry.kind = kind;
  entry.t_ns = t_ns;
  return entry;
}

InputHeader two_sources() {
  InputHeader header;
  header.sources = {{"H-02 \"bench\"\n", true, wire::Grade::wire, 1000, false},
                    {"\xFFport ♯", false, wire::Grade::message, std::nullopt, true}};
  header.started = "2026-01-31T18:00:00Z";
  return header;
}

/// Entries of every kind in random order and with random values, times never going back.
std::vector<OwnedEntry> random_entries(std::mt19937& random, std::size_t count) {
  std::vector<OwnedEntry> entries;
  OwnedEntry entry;
  for (std::size_t i = 0; i < count; ++i) {
    entry.kind = static_cast<Entry::Kind>(random() % 6);
    entry.t_ns += random() % 4 == 0 ? 0 : static_cast<std::int64_t>(random());
    const bool is_chunk = entry.kind == Entry::Kind::chunk;
    const bool is_mark = entry.kind == Entry::Kind::mark;
    entry.src = is_mark || entry.kind == Entry::Kind::settings ? 0 : random() % 2;
    entry.out = is_chunk && random() % 8 == 0;
    entry.bytes.assign(is_chunk ? random() % 20 : 0, static_cast<std::uint8_t>(random()));
    entry.lost = entry.kind == Entry::Kind::lost ? static_cast<std::int64_t>(random()) : 0;
    entry.text = is_mark ? "again \"♯\" \\ " + std::to_string(random()) : "";
    if (entry.kind == Entry::Kind::settings) entry.settings.strum_gap_ms = random() / 1024.0;
    entries.push_back(entry);
  }
  return entries;
}

Entry view_of(const OwnedEntry& from) {
  return {from.kind,  from.out,  from.src,  from.t_ns,
          from.bytes, from.lost, from.text, from.settings};
}

}  // namespace

TEST_CASE("each kind of entry has the shape of the contract") {
  const std::uint8_t bytes[] = {0x90, 0x3C, 0x64};
  Entry chunk = entry_of(Entry::Kind::chunk, 123);
  chunk.bytes = bytes;
  CHECK(line_of(chunk) == "{\"t\":123,\"hex\":\"903c64\"}\n");
  chunk.src = 1;
  CHECK(line_of(chunk) == "{\"t\":123,\"hex\":\"903c64\",\"src\":1}\n");
  chunk.out = true;
  CHECK(line_of(chunk) == "{\"t\":123,\"hex\":\"903c64\",\"src\":1,\"dir\":\"out\"}\n");
  Entry mark = entry_of(Entry::Kind::mark, 5);
  mark.text = "a\"b\\\n\x7F\xFF♯";
  CHECK(line_of(mark) == "{\"t\":5,\"mark\":\"a\\\"b\\\\\\u000a\x7F\xEF\xBF\xBD♯\"}\n");
  Entry lost = entry_of(Entry::Kind::lost, 5);
  lost.lost = 12;
  CHECK(line_of(lost) == "{\"t\":5,\"lost\":12}\n");
  Entry gone = entry_of(Entry::Kind::gone, 5);
  gone.src = 2;
  CHECK(line_of(gone) == "{\"t\":5,\"gone\":2}\n");
  CHECK(line_of(entry_of(Entry::Kind::back, 6)) == "{\"t\":6,\"back\":0}\n");
  Entry settings = entry_of(Entry::Kind::settings, 6);
  settings.settings.strum_gap_ms = 80.5;
  CHECK(line_of(settings) ==
        "{\"t\":6,\"settings\":{\"strum_gap_ms\":80.5,\"refractory_ms\":50,"
        "\"hold_limit_ms\":30000}}\n");
  CHECK(line_of(entry_of(Entry::Kind::end, 7)) == "{\"t\":7,\"end\":true}\n");
}

TEST_CASE("a header of one source has the shape of the contract, and one of several a list") {
  InputHeader header;
  header.sources = {{"H-02", true, wire::Grade::byte, std::nullopt, false}};
  header.started = "2026-01-31T18:00:00Z";
  CHECK(header_line(header) ==
        "{\"strumwright\":\"capture\",\"version\":1,\"source\":\"H-02\","
        "\"raw\":true,\"timing\":\"byte\","
        "\"started\":\"2026-01-31T18:00:00Z\"}\n");
  const auto read = read_out(InputKind::capture, header_line(two_sources()));
  REQUIRE(read.complaint().empty());
  REQUIRE(read.header.sources.size() == 2);
  CHECK(read.header.started == "2026-01-31T18:00:00Z");
  CHECK(read.header.sources[0].name == "H-02 \"bench\" ");
  CHECK(read.header.sources[0].resolution_ns == 1000);
  CHECK_FALSE(read.header.sources[0].simulated);
  CHECK(read.header.sources[1].name == "\xEF\xBF\xBDport ♯");
  CHECK(read.header.sources[1].timing == wire::Grade::message);
  CHECK(read.header.sources[1].simulated);
}

TEST_CASE("what is written is read again, entry for entry") {
  std::mt19937 random(7);
  const auto entries = random_entries(random, 3000);
  std::string text = header_line(two_sources());
  for (const auto& entry : entries) append_line(view_of(entry), text);
  const auto read = read_out(InputKind::capture, text);
  CHECK(read.complaint().empty());
  CHECK(read.entries == entries);
}

TEST_CASE("a chunk stays one line up to 256 KiB, and beyond goes on at wire speed") {
  for (const std::size_t count : {262'144U, 262'145U}) {
    const std::vector<std::uint8_t> bytes(count, 0xFE);
    Entry chunk = entry_of(Entry::Kind::chunk, 1000);
    chunk.bytes = bytes;
    const auto read = read_out(InputKind::capture, header_line(two_sources()) + line_of(chunk));
    CHECK(read.complaint().empty());
    CHECK(read.bytes() == bytes);
    REQUIRE(read.entries.size() == (count == 262'144U ? 1 : 2));
    if (read.entries.size() == 2) CHECK(read.entries[1].t_ns == 1000 + 262'144LL * 320'000);
  }
}
