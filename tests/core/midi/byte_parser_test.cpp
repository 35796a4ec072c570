// tests/core/midi/byte_parser_test.cpp
#include "core/midi/byte_parser.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <random>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "tests/core/midi/event_text.h"
#include <doctest/doctest.h>

using namespace strumwright::midi;

namespace {

using Bytes = std::vector<std::uint8_t>;

Listener heard(const std::string& hex) {
  Listener listener;
  listener.push(bytes_of(hex), 0);
  listener.finish();
  return listener;
}

std::string said(const std::string& hex) { return text_of(heard(hex).events); }

std::string repeat(const std::string& text, int times) {
  std::string all;
  for (int i = 0; i < times; ++i) all += text;
  return all;
}

struct Spoken {
  const char* source;
  std::string hex;
  std::string events;
};

void check_all(std::span<const Spoken> rows) {
  for (const auto& row : rows) {
    INFO(row.source << ": " << row.hex);
    CHECK(said(row.hex) == row.events);
  }
}

}  // namespace

TEST_CASE("messages have the data bytes that their status wants") {
  const Spoken rows[] = {
      {"M1 table II", "80 01 02 9F 01 02 A0 01 02 BF 01 02",
       "80 01 02 @0; 9F 01 02 @3; A0 01 02 @6; BF 01 02 @9"},
      {"M1 table II", "C0 01 DF 02 E0 00 40", "C0 01 @0; DF 02 @2; E0 00 40 @4"},
      {"M1 table V", "F1 01 F2 01 02 F3 01 F6", "F1 01 @0; F2 01 02 @2; F3 01 @5; F6 @7"},
      {"M1 table VI", "F8 FA FB FC FE FF", "F8 @0; FA @1; FB @2; FC @3; FE @4; FF @5"},
      {"M1 table VII", "F0 7D 01 F7", "sysex 4 @0"},
      {"M1 4.2: extremes of data", "90 00 7F E0 7F 00", "90 00 7F @0; E0 7F 00 @3"},
  };
  check_all(rows);
}

TEST_CASE("running status lasts until a status below F8 or FF") {
  const Spoken rows[] = {
      {"M1 p. 5", "90 3C 40 3E 00", "90 3C 40 @0; (90) 3E 00 @3"},
      {"M1 p. 5: one data byte", "C1 05 06 07", "C1 05 @0; (C1) 06 @2; (C1) 07 @3"},
      {"M1 4.2: real-time leaves it", "90 3C 40 F8 FE 3E 40",
       "90 3C 40 @0; F8 @3; FE @4; (90) 3E 40 @5"},
      {"M1 A-2 rule 3", "90 3C 40 F0 F7 3E", "90 3C 40 @0; sysex 2 @3; stray 1 @5"},
      {"M1 A-2 rule 3", "90 3C 40 F1 01 3E", "90 3C 40 @0; F1 01 @3; stray 1 @5"},
      {"M1 A-2 rule 3", "90 3C 40 F6 3E", "90 3C 40 @0; F6 @3; stray 1 @4"},
      {"M1 A-2 rule 3", "90 3C 40 F7 3E", "90 3C 40 @0; eox @3; stray 1 @4"},
      {"rules 2: F4 too", "90 3C 40 F4 3E", "90 3C 40 @0; undefined F4 @3; stray 1 @4"},
      {"rules 2: FF clears it", "90 3C 40 FF 3E 40", "90 3C 40 @0; FF @3; stray 2 @4"},
      {"a cut message establishes it", "90 91 3C 40 3E 40",
       "cut 90+0 @0; 91 3C 40 @1; (91) 3E 40 @4"},
      {"a cut message establishes it", "90 3C 40 91 F8 FF 3E 40",
       "90 3C 40 @0; F8 @4; cut 91+0 @3; FF @5; stray 2 @6"},
  };
  check_all(rows);
}

TEST_CASE("real-time bytes are heard at once and inside everything") {
  const Spoken rows[] = {
      {"M1 4.2", "90 F8 3C F8 40", "F8 @1; F8 @3; 90 3C 40 @0"},
      {"M1 4.2: under running status", "90 3C 40 3E F8 40", "90 3C 40 @0; F8 @4; (90) 3E 40 @3"},
      {"M1 4.2: in SysEx, not counted", "F0 01 F8 02 FE F7", "F8 @2; FE @4; sysex 4 @0"},
      {"M1 4.2: in common messages", "F2 F8 01 FE 02", "F8 @1; FE @3; F2 01 02 @0"},
      {"rules 2: breaks no run", "3C F8 3D 90 3C 40", "F8 @1; joined 2 @0; 90 3C 40 @3"},
      {"undefined, but as transparent", "90 F9 3C FD 40",
       "undefined F9 @1; undefined FD @3; 90 3C 40 @0"},
      {"undefined, but as transparent", "F0 F9 01 F7", "undefined F9 @1; sysex 3 @0"},
      {"undefined, but as transparent", "3C FD 3D", "undefined FD @1; joined 2 @0"},
  };
  check_all(rows);
}

TEST_CASE("FF cuts short a message or SysEx, then is heard, but breaks no run") {
  const Spoken rows[] = {
      {"rules 2", "90 3C FF 40", "cut 90+1 @0; FF @2; stray 1 @3"},
      {"rules 2", "90 FF", "cut 90+0 @0; FF @1"},
      {"rules 2", "90 3C 40 3E FF", "90 3C 40 @0; cut (90)+1 @3; FF @4"},
      {"rules 2", "F2 01 FF 02", "cut F2+1 @0; FF @2; stray 1 @3"},
      {"rules 2", "F0 01 FF 02 F7", "open 2 @0; FF @2; stray 1 @3; eox @4"},
      {"rules 2", "3C FF 3D", "FF @1; joined 2 @0"},
      {"rules 2", "F6 3C FF 3D 90", "F6 @0; FF @2; stray 2 @1; cut 90+0 @4"},
  };
  check_all(rows);
}

TEST_CASE("a message that another status or the end cuts short says what came") {
  const Spoken rows[] = {
      {"rules 2: without data too", "90 80 3C 40", "cut 90+0 @0; 80 3C 40 @1"},
      {"R8", "90 3C 80 3C 40", "cut 90+1 @0; 80 3C 40 @2"},
      {"R8: the same status", "90 3C 90 3C 40", "cut 90+1 @0; 90 3C 40 @2"},
      {"R8: under running status", "90 3C 40 3C 80 3C 40",
       "90 3C 40 @0; cut (90)+1 @3; 80 3C 40 @4"},
      {"R8: one data byte", "C0 D0 01", "cut C0+0 @0; D0 01 @1"},
      {"R8: common", "F1 F3 01 F2 01 F6", "cut F1+0 @0; F3 01 @1; cut F2+1 @3; F6 @5"},
      {"R8: by F0", "90 3C F0 F7", "cut 90+1 @0; sysex 2 @2"},
      {"R8: by F7", "90 3C F7", "cut 90+1 @0; eox @2"},
      {"R8: by F5", "90 3C F5", "cut 90+1 @0; undefined F5 @2"},
      {"rules 2: at the end", "90 3C 40 3E", "90 3C 40 @0; cut (90)+1 @3"},
      {"rules 2: at the end", "90", "cut 90+0 @0"},
      {"rules 2: between messages is no cut", "90 3C 40", "90 3C 40 @0"},
  };
  check_all(rows);
}

TEST_CASE("SysEx ends whole with F7 only") {
  const Spoken rows[] = {
      {"R7", "F0 01 90 3C 40", "open 2 @0; 90 3C 40 @2"},
      {"R7: F0", "F0 01 F0 02 F7", "open 2 @0; sysex 3 @2"},
      {"R7: F6", "F0 F6", "open 1 @0; F6 @1"},
      {"R7: F4", "F0 01 F4 02 F7", "open 2 @0; undefined F4 @2; stray 1 @3; eox @4"},
      {"rules 2: at the end", "F0 01 02", "open 3 @0"},
      {"rules 2: an empty one counts 2", "F0 F7", "sysex 2 @0"},
      {"rules 2: no SysEx is open", "F7 F7", "eox @0; eox @1"},
      {"rules 2: no SysEx is open", "F0 01 F7 F7", "sysex 3 @0; eox @3"},
  };
  check_all(rows);
}

TEST_CASE("a run without status is one event, named by where it stands and how it reads") {
  const std::string seven = "41 42 43 44 45 46 47 ";
  const std::string eight = seven + "48 ";
  const Spoken rows[] = {
      {"catalogue: before the first status", "3C 40 90 3C 40", "joined 2 @0; 90 3C 40 @2"},
      {"catalogue: F4 is a status too", "3C F4 3D 90",
       "joined 1 @0; undefined F4 @1; stray 1 @2; cut 90+0 @3"},
      {"catalogue: real-time is none", "F8 3C FF 3C", "F8 @0; FF @2; joined 2 @1"},
      {"catalogue: after it", "F6 3C 40 90 3C 40", "F6 @0; stray 2 @1; 90 3C 40 @3"},
      {"catalogue: seven are no text", seven, "joined 7 @0"},
      {"catalogue: eight are, joined or not", eight, "text 8 @0"},
      {"catalogue: eight are", "F6 " + eight, "F6 @0; text 8 @1"},
      {"catalogue: in a row", seven + "01 " + seven, "joined 15 @0"},
      {"catalogue: the whole run counts", "01 02 " + eight + "03 04", "text 12 @0"},
      {"catalogue: CR and LF are text", "0D 0A 20 7E 0D 0A 20 7E", "text 8 @0"},
      {"catalogue: just outside 20 to 7E", "1F " + seven, "joined 8 @0"},
      {"catalogue: just outside 20 to 7E", seven + "7F", "joined 8 @0"},
      {"catalogue: real-time does not break it", seven + "F8 48", "F8 @7; text 8 @0"},
      {"catalogue: not under running status", "90 " + eight,
       "90 41 42 @0; (90) 43 44 @3; (90) 45 46 @5; (90) 47 48 @7"},
      {"catalogue: not in SysEx", "F0 " + eight + "F7", "sysex 10 @0"},
      {"catalogue: each run by itself", eight + "F6 41 F6", "text 8 @0; F6 @8; stray 1 @9; F6 @10"},
      {"catalogue: long", repeat("41 ", 600), "text 600 @0"},
      {"catalogue: long", repeat("01 ", 600), "joined 600 @0"},
  };
  check_all(rows);
}

TEST_CASE("after a loss nothing is raised until the next status") {
  struct Row {
    const char* source;
    std::string before, after, events;
  };
  const Row rows[] = {
      {"rules 1: a message is dropped", "90 3C", "40 41 90 3E 40", "90 3E 40 @4"},
      {"rules 1: running status is cleared", "90 3C 40", "3E 40", "90 3C 40 @0"},
      {"rules 1: SysEx is dropped, its F7 too", "F0 01", "02 F7 90 3C 40", "90 3C 40 @4"},
      {"rules 1: only that F7", "F0 01", "02 F7 F7", "eox @4"},
      {"rules 1: what follows that F7 is stray again", "90", "F7 3C", "stray 1 @2"},
      {"rules 1: any other status raises", "90", "F4", "undefined F4 @1"},
      {"rules 1: real-time is no such status", "90", "3C F8 3D F7", "F8 @2"},
      {"rules 1: real-time is no such status", "90", "3C FF 3D F9 F7", "FF @2; undefined F9 @4"},
      {"rules 1: text too", "90", "41 42 43 44 45 46 47 48 49", ""},
      {"rules 1: a run under way is given", "3C 3D", "3E F6 3F", "joined 2 @0; F6 @3; stray 1 @4"},
      {"rules 1: before any byte", "", "3C F6 3F", "F6 @1; stray 1 @2"},
  };
  for (const auto& row : rows) {
    INFO(row.source << ": " << row.before << " | " << row.after);
    Listener listener;
    listener.push(bytes_of(row.before), 0);
    listener.lose();
    listener.push(bytes_of(row.after), 0);
    listener.finish();
    CHECK(text_of(listener.events) == row.events);
  }
}

TEST_CASE("a second loss or end gives nothing more") {
  for (const char* hex : {"3C", "90 3C", "F0 01", "90 3C 40"}) {
    INFO(hex);
    Listener twice_lost;
    twice_lost.push(bytes_of(hex), 0);
    twice_lost.lose();
    const auto events = twice_lost.events;
    twice_lost.lose();
    twice_lost.finish();
    CHECK(twice_lost.events == events);
    Listener twice_ended = heard(hex);
    const auto at_end = twice_ended.events;
    twice_ended.finish();
    CHECK(twice_ended.events == at_end);
  }
}

TEST_CASE("events carry the time of their first byte") {
  Listener listener;
  listener.push(bytes_of("3C F8 90 3E F9 40 41 F0 01 F7 F4"), 1'000'000);
  std::vector<std::int64_t> times_ns;
  for (const auto& event : listener.events) {
    if (!event.is(Code::count)) times_ns.push_back(event.t_ns);
  }
  const auto at = [](int byte) { return 1'000'000 + byte * std::int64_t{320'000}; };
  // F8, joined, F9, 90, cut, sysex, F4
  CHECK(times_ns == std::vector{at(1), at(0), at(4), at(2), at(6), at(7), at(10)});
}

TEST_CASE("the counts are those of complete messages") {
  struct Row {
    const char* source;
    std::string hex;
    std::uint64_t messages, used, possible;
  };
  const Row rows[] = {
      {"rules 2: full status could run", "90 3C 40 90 3E 40", 2, 0, 1},
      {"rules 2: sent running counts in both", "90 3C 40 3E 40 90 40 40", 3, 1, 2},
      {"rules 2: another status", "90 3C 40 80 3C 40 90 3C 40", 3, 0, 0},
      {"rules 2: one data byte", "C0 01 02 C0 03", 3, 1, 2},
      {"rules 2: cleared by common and FF", "90 3C 40 F6 90 3C 40 FF 90 3C 40", 5, 0, 0},
      {"rules 2: real-time leaves it in force", "90 3C 40 F8 90 3C 40", 3, 0, 1},
      {"rules 2: common has none", "F3 01 F3 01", 2, 0, 0},
      {"rules 2: a cut message is none, its status is", "90 90 3C 40 90 3C", 1, 0, 1},
      {"rules 2: a cut running message is none", "90 3C 40 3E 90 3E 40", 2, 0, 1},
      {"rules 2: a SysEx is one", "F0 01 F8 F7 F0 F7", 3, 0, 0},
      {"rules 2: these are none", "3C F4 F9 F7 F0 01 F5 F0", 0, 0, 0},
      {"rules 2: FF is one", "FF FE", 2, 0, 0},
  };
  for (const auto& row : rows) {
    INFO(row.source << ": " << row.hex);
    const auto counts = heard(row.hex).parser.counts();
    CHECK(counts.bytes == bytes_of(row.hex).size());
    CHECK(counts.messages == row.messages);
    CHECK(counts.running_used == row.used);
    CHECK(counts.running_possible == row.possible);
  }
}

TEST_CASE("what is open and what is running can be asked between bytes") {
  struct Row {
    std::string hex;
    std::optional<std::int64_t> open_since_ns;
    std::uint8_t running_status;
  };
  const Row rows[] = {
      {"", {}, 0},
      {"90", 0, 0x90},
      {"90 3C", 0, 0x90},
      {"90 3C 40", {}, 0x90},
      {"90 3C 40 3E", 3 * byte_ns, 0x90},
      {"90 3C 40 3E F8", 3 * byte_ns, 0x90},
      {"C0 01", {}, 0xC0},
      {"90 3C 40 F2", 3 * byte_ns, 0},
      {"F8 F0 01", byte_ns, 0},
      {"F0 01 F7", {}, 0},
      {"90 FF", {}, 0},
      {"3C", {}, 0},
  };
  for (const auto& row : rows) {
    INFO(row.hex);
    Listener listener;
    listener.push(bytes_of(row.hex), 0);
    CHECK(listener.parser.open_since_ns() == row.open_since_ns);
    CHECK(listener.parser.running_status() == row.running_status);
  }
}

TEST_CASE("of a SysEx the first 256 bytes are kept, without real-time bytes") {
  const auto kept = [](const std::string& hex) {
    const Listener listener = heard(hex);
    const auto sysex = listener.parser.sysex();
    return Bytes(sysex.begin(), sysex.end());
  };
  CHECK(kept("F0 01 F8 02 F7 90 3C 40") == Bytes{0xF0, 1, 2, 0xF7});
  CHECK(kept("F0 01 02 F6").empty());
  CHECK(kept("F0 01 F7 F0 02").empty());
  CHECK(kept("F0 " + repeat("01 ", 254) + "F7").back() == 0xF7);
  const Bytes longer = kept("F0 " + repeat("01 ", 255) + "F7");
  CHECK(longer.size() == 256);
  CHECK(longer.back() == 1);
  CHECK(said("F0 " + repeat("01 ", 100'000) + "F7") == "sysex 100002 @0");
}

TEST_CASE("byte indices go on beyond 32 bits") {
  // 4 GiB of data bytes inside one SysEx pass without an event, so this is quick.
  constexpr std::size_t block_bytes = std::size_t{1} << 20U;
  constexpr std::uint64_t blocks = 4096;
  Listener listener;
  listener.push_one(0xF0, 0);
  const Bytes block(block_bytes, 1);
  for (std::uint64_t i = 0; i < blocks; ++i) listener.push(block, 0);
  CHECK(listener.events.empty());
  listener.push(bytes_of("F7 90 3C 40 3E 40 F8 41 F4"), 0);
  CHECK(text_of(listener.events) ==
        "sysex 4294967298 @0; 90 3C 40 @4294967298; (90) 3E 40 @4294967301; F8 @4294967303; "
        "cut (90)+1 @4294967304; undefined F4 @4294967305");
}

namespace {

/// Draws from `choices`, each as often as it stands there; 0x00 stands for any data byte.
Bytes stream(std::mt19937& random, std::span<const std::uint8_t> choices, std::size_t size) {
  std::uniform_int_distribution<std::size_t> choice(0, choices.size() - 1);
  std::uniform_int_distribution<int> data(0, 127);
  Bytes bytes(size);
  for (auto& byte : bytes) {
    byte = choices[choice(random)];
    if (byte == 0) byte = static_cast<std::uint8_t>(data(random));
  }
  return bytes;
}

constexpr std::array<std::uint8_t, 24> hostile = {0xF0, 0xF0, 0xF7, 0xF7, 0xF8, 0xFF, 0xF4, 0xF5,
                                                  0xF9, 0xFD, 0xF1, 0xF2, 0xF3, 0xF6, 0x90, 0x91,
                                                  0xC0, 0xD5, 0xE0, 0,    0,    0,    0,    0};
constexpr std::array<std::uint8_t, 8> dense = {0x90, 0x90, 0x80, 0xC3, 0, 0, 0, 0};
constexpr std::array<std::uint8_t, 32> sparse = {0x90, 0xF8, 0xFE};  // and 29 times data
constexpr std::array<std::uint8_t, 64> sparse_one = {0xC0, 0xF8, 0xF9, 0xFF};
constexpr std::array<std::uint8_t, 64> runs = {0xF6, 0xF8, 0xFF, 0x90};

void check_splits(std::mt19937& random, const Bytes& bytes) {
  Listener by_byte;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    by_byte.push_one(bytes[i], static_cast<std::int64_t>(i) * byte_ns);
  }
  Listener by_piece;
  std::uniform_int_distribution<std::size_t> length(0, 1U << (random() % 12));
  for (std::size_t from = 0; from < bytes.size();) {
    const std::size_t size = std::min(length(random), bytes.size() - from);
    by_piece.push(std::span(bytes).subspan(from, size), static_cast<std::int64_t>(from) * byte_ns);
    from += size;
    REQUIRE(by_piece.parser.counts().bytes == from);
  }
  CHECK(by_piece.parser.open_since_ns() == by_byte.parser.open_since_ns());
  by_byte.finish();
  by_piece.finish();
  CHECK(std::ranges::equal(by_piece.parser.sysex(), by_byte.parser.sysex()));
  const auto& one = by_byte.parser.counts();
  const auto& other = by_piece.parser.counts();
  CHECK(one.messages == other.messages);
  CHECK(one.running_used == other.running_used);
  CHECK(one.running_possible == other.running_possible);
  CHECK(by_byte.parser.running_status() == by_piece.parser.running_status());
  // Compared whole: text_of is for people and slow.
  const bool same = by_piece.events == by_byte.events;
  CHECK(same);
}

}  // namespace

TEST_CASE("any split of the input gives the same events as byte by byte") {
  std::mt19937 random(20'240'611);
  const std::span<const std::uint8_t> kinds[] = {hostile, dense, sparse, sparse_one, runs};
  for (const auto& kind : kinds) {
    for (int round = 0; round < 120; ++round) {
      INFO("kind " << &kind - kinds << " round " << round);
      check_splits(random, stream(random, kind, 1U << (random() % 13)));
    }
  }
}

TEST_CASE("any split of uniformly random bytes gives the same events as byte by byte") {
  std::mt19937 random(77);
  for (int round = 0; round < 200; ++round) {
    Bytes bytes(4096);
    for (auto& byte : bytes) byte = static_cast<std::uint8_t>(random() >> 11U);
    INFO("round " << round);
    check_splits(random, bytes);
  }
}

TEST_CASE("streams that change their nature inside a block are split alike") {
  std::mt19937 random(5);
  const std::span<const std::uint8_t> kinds[] = {hostile, dense, sparse, sparse_one, runs};
  for (int round = 0; round < 200; ++round) {
    Bytes bytes;
    for (int part = 0; part < 12; ++part) {
      const Bytes more = stream(random, kinds[random() % 5], random() % 700);
      bytes.insert(bytes.end(), more.begin(), more.end());
    }
    INFO("round " << round);
    check_splits(random, bytes);
  }
}

TEST_CASE("a block gives no more events than it says") {
  std::mt19937 random(6);
  const std::span<const std::uint8_t> kinds[] = {hostile, dense, sparse, runs};
  for (const auto& kind : kinds) {
    Listener listener;
    const Bytes bytes = stream(random, kind, 5000);
    std::vector<Event> room(ByteParser::most_events(bytes.size()));
    CHECK(listener.parser.push(bytes, 0, byte_ns, room.data()) <= room.size());
  }
}
