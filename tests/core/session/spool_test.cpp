// tests/core/session/spool_test.cpp
#include "core/session/spool.h"

#include <string>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::session;

namespace {

constexpr std::int64_t second = 1'000'000'000;

InputHeader one_source() {
  InputHeader header;
  header.sources = {{"H-02", true, wire::Grade::byte, std::nullopt, false}};
  return header;
}

Entry chunk_at(std::int64_t t_ns, std::span<const std::uint8_t> bytes) {
  Entry entry;
  entry.t_ns = t_ns;
  entry.bytes = bytes;
  return entry;
}

const std::vector<std::uint8_t> sensing = {0xFE};

}  // namespace

TEST_CASE("a segment is closed by the entry that comes 60 s after its first, not sooner") {
  Spool spool(one_source(), {});
  CHECK(spool.push(chunk_at(5 * second, sensing)).begins_segment);
  CHECK_FALSE(spool.push(chunk_at(65 * second - 1, sensing)).begins_segment);
  const auto step = spool.push(chunk_at(65 * second, sensing));
  CHECK(step.begins_segment);
  CHECK(step.segment == 2);
  REQUIRE(spool.segments().size() == 2);
  CHECK(spool.segments()[0].first_ns == 5 * second);
  CHECK(spool.segments()[0].last_ns == 65 * second - 1);
  CHECK(spool.segments()[1].first_ns == 65 * second);
}

TEST_CASE("a segment is closed by the first entry that finds 4 MiB in it") {
  Spool spool(one_source(), {});
  const std::vector<std::uint8_t> bytes(100'000, 0xFE);
  std::uint64_t written = 0;
  for (;;) {
    const auto step = spool.push(chunk_at(0, bytes));
    if (step.segment == 2) break;
    written += step.text.size();
    REQUIRE(written < (5U << 20U));
  }
  CHECK(written >= (4U << 20U));
  CHECK(spool.segments()[0].bytes == written);
}

TEST_CASE("each segment is a capture by itself, and carries what was in force before it") {
  Spool spool(one_source(), {});
  Entry settings;
  settings.kind = Entry::Kind::settings;
  settings.settings.strum_gap_ms = 80.0;
  CHECK(spool.push(settings).begins_segment);
  const std::vector<std::uint8_t> half = {0x90, 0x3C};
  CHECK_FALSE(spool.push(chunk_at(1, half)).begins_segment);
  const std::vector<std::uint8_t> rest = {0x64};
  const auto step = spool.push(chunk_at(70 * second, rest));
  const auto read = read_out(InputKind::capture, step.text);
  CHECK(read.complaint().empty());
  REQUIRE(read.entries.size() == 1);
  CHECK(read.entries[0].t_ns == 70 * second);
  REQUIRE(read.header.carried);
  CHECK(read.header.carried->settings.strum_gap_ms == 80.0);
  CHECK(read.header.carried->gone.empty());
  REQUIRE(read.header.carried->open.size() == 1);
  CHECK(read.header.carried->open[0] == half);
}

TEST_CASE("a segment may go when its last entry is older than 15 minutes, the open one never") {
  Spool spool(one_source(), {});
  spool.push(chunk_at(0, sensing));
  spool.push(chunk_at(60 * second, sensing));
  spool.push(chunk_at(120 * second, sensing));
  CHECK(spool.take_expired(900 * second).empty());
  CHECK(spool.take_expired(900 * second + 1) == std::vector<std::uint64_t>{1});
  CHECK(spool.take_expired(900 * second + 1).empty());
  CHECK(spool.take_expired(5000 * second) == std::vector<std::uint64_t>{2});
  REQUIRE(spool.segments().size() == 1);
  CHECK(spool.segments()[0].number == 3);
}

TEST_CASE("the oldest segments go beyond 256 MiB") {
  Spool spool(one_source(), {});
  const std::vector<std::uint8_t> bytes(250'000, 0xFE);
  std::uint64_t held = 0;
  for (int i = 0; i < 600; ++i) held += spool.push(chunk_at(i, bytes)).text.size();
  REQUIRE(held > spool_bytes);
  const auto all = spool.segments();
  const auto expired = spool.take_expired(600);
  REQUIRE_FALSE(expired.empty());
  for (std::size_t i = 0; i < expired.size(); ++i) held -= all[i].bytes;
  CHECK(held <= spool_bytes);
  CHECK(held + all[expired.size() - 1].bytes > spool_bytes);
}

TEST_CASE("segments are named in the order in which they follow, and strangers are left alone") {
  CHECK(segment_name(12) == "segment-000012.jsonl");
  CHECK(segment_name(1'234'567) == "segment-1234567.jsonl");
  for (const std::uint64_t number : {1U, 999'999U, 1'000'000U}) {
    CHECK(segment_number(segment_name(number)) == number);
  }
  for (const char* name : {"", "segment-.jsonl", "segment-12.jsonl", "segment-00001x.jsonl",
                           "segment-000012.json", "xsegment-000012.jsonl", "segment-.jsonl.jsonl",
                           "segment-99999999999999999999999.jsonl", "evening.jsonl"}) {
    INFO(name);
    CHECK_FALSE(segment_number(name));
  }
  CHECK(segment_numbers({"segment-1000000.jsonl", "a", "segment-000002.jsonl", ".."}) ==
        std::vector<std::uint64_t>{2, 1'000'000});
}
