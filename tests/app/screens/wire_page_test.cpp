// tests/app/screens/wire_page_test.cpp
#include "app/screens/wire_page.h"

#include <memory>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "core/midi/byte_parser.h"

using namespace strumwright;
using namespace strumwright::screens;

namespace {

constexpr std::int64_t byte_ns = 320'000;

/// A history filled by the real parser, bytes end to end from 1 ms on.
struct Line {
  std::unique_ptr<engine::History> history = std::make_unique<engine::History>();
  std::int64_t t_ns = 1'000'000;
  std::uint64_t index = 0;
  midi::ByteParser parser;

  void send(const std::vector<std::uint8_t>& bytes, std::uint8_t src = 0) {
    for (const auto byte : bytes) {
      midi::Event events[midi::ByteParser::most_events(1)];
      history->bytes.append({t_ns, index++ << 16U | std::uint64_t{src} << 8U | byte});
      const auto count = parser.push(byte, t_ns, events);
      append({events, count}, src);
      t_ns += byte_ns;
    }
  }
  void finish() {
    midi::Event events[midi::ByteParser::most_events(0)];
    append({events, parser.finish(events)}, 0);
  }
  void append(std::span<const midi::Event> events, std::uint8_t src) {
    for (const auto& event : events) {
      if (!event.is(midi::Code::count)) last_ns = event.t_ns;
      history->events.append({last_ns, event, src});
    }
  }
  [[nodiscard]] WirePage page() const { return read_wire_page(*history, 0, 1'000'000'000); }

  std::int64_t last_ns = 0;
};

/// S status, d data, x SysEx, r real-time, ! stray
std::string roles(const WirePage& page) {
  std::string text;
  for (const auto& byte : page.bytes) text += "Sdxr!"[static_cast<int>(byte.role)];
  return text;
}

}  // namespace

TEST_CASE("each byte has the role that the parser gave it") {
  struct Row {
    const char* what;
    std::vector<std::uint8_t> bytes;
    const char* roles;
  };
  const Row rows[] = {
      {"a note", {0x90, 60, 80}, "Sdd"},
      {"running status", {0x90, 60, 80, 62, 80}, "Sdddd"},
      {"real-time inside", {0x90, 0xFE, 60, 0xF8, 80}, "Srdrd"},
      {"SysEx with real-time inside", {0xF0, 0x7D, 0xFE, 0x42, 0xF7}, "xxrxx"},
      {"stray after a SysEx", {0xF0, 0x7D, 0xF7, 0x3B, 0x50, 0x90, 60, 80}, "xxx!!Sdd"},
      {"cut short", {0x90, 60, 0x90, 62, 80}, "!!Sdd"},
      {"undefined", {0xF4, 0x90, 62, 80}, "!Sdd"},
      {"undefined real-time", {0xF9, 0x90, 62, 80}, "!Sdd"},
      {"undefined real-time inside", {0x90, 62, 0xF9, 80}, "Sd!d"},
      {"F7 alone", {0xF7, 0x90, 62, 80}, "!Sdd"},
      {"song place", {0xF2, 1, 2, 0xF6}, "SddS"},
      {"under way", {0x90, 62, 80, 0xB0, 7}, "SddSd"},
      {"SysEx under way", {0xF0, 0x7D, 1, 2}, "xxxx"},
  };
  for (const auto& row : rows) {
    INFO(row.what);
    Line line;
    line.send({0xFE});
    line.send(row.bytes);
    CHECK(roles(line.page()) == "r" + std::string(row.roles));
  }
}

TEST_CASE("a run of stray bytes at the end is known when the input ends") {
  Line line;
  line.send({0xF6, 10, 20});
  CHECK(roles(line.page()) == "Sdd");
  line.finish();
  CHECK(roles(line.page()) == "S!!");
}

TEST_CASE("messages know their bytes on the page, and that their status was left out") {
  Line line;
  line.send({0x90, 60, 80, 62, 0xFE, 80});
  const auto page = line.page();
  REQUIRE(page.messages.size() == 3);
  CHECK(!page.messages[0].runs());
  CHECK(page.messages[0].first == 0);
  CHECK(page.messages[0].last == 2);
  CHECK(page.messages[2].runs());
  CHECK(page.messages[2].first == 3);
  CHECK(page.messages[2].last == 5);
  CHECK(page.bytes[4].message == 1);
}

TEST_CASE("a message that began before the page has its rest marked") {
  Line line;
  line.send({0x90, 60, 80, 62, 80});
  const auto page = read_wire_page(*line.history, 1'000'000 + byte_ns, 1'000'000'000);
  CHECK(roles(page) == "dddd");
  CHECK(page.before_ns == 1'000'000);
  CHECK(page.bytes[0].message == 0);
  CHECK(page.bytes[2].message == 1);
}

TEST_CASE(
    "bytes whose stamps overlap are drawn one after the other, real-time bytes in their place") {
  Line line;
  line.history->bytes.append({1'000'000, 0U << 16U | 0x90});
  line.history->bytes.append({1'100'000, 1U << 16U | 60});
  line.history->bytes.append({1'150'000, 2U << 16U | 0xFE});
  line.history->bytes.append({9'000'000, 3U << 16U | 80});
  const auto page = line.page();
  REQUIRE(page.bytes.size() == 4);
  CHECK(page.bytes[1].t_ns == 1'100'000);
  CHECK(page.bytes[1].place_ns == 1'320'000);
  CHECK(page.bytes[3].place_ns == 9'000'000);
}

TEST_CASE("a page shows one source, the newest, and says that there are more; never what we sent") {
  Line line;
  line.history->bytes.append({1'000'000, 0x90});
  line.history->bytes.append({2'000'000, 1U << 15U | 0xFF});
  line.history->bytes.append({3'000'000, 1U << 8U | 0xB0});
  const auto page = line.page();
  CHECK(page.src == 1);
  CHECK(page.more_sources);
  REQUIRE(page.bytes.size() == 1);
  CHECK(page.bytes[0].value == 0xB0);
  const auto early = read_wire_page(*line.history, 0, 2'500'000);
  CHECK(early.src == 0);
  CHECK(!early.more_sources);
}
