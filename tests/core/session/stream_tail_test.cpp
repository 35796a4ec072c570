// tests/core/session/stream_tail_test.cpp
#include "core/session/stream_tail.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::session;
using Bytes = std::vector<std::uint8_t>;

TEST_CASE("the tail of a stream restates the status in force and the message under way") {
  struct Row {
    const char* source;
    Bytes stream;
    Bytes restated;
  };
  const Row rows[] = {
      {"nothing yet", {}, {}},
      {"stray data", {0x3C, 0x64}, {}},
      {"M1 4.2: a status without data", {0x90}, {0x90}},
      {"M1 4.2: half a message", {0x90, 0x3C}, {0x90, 0x3C}},
      {"M1 4.2: running status", {0x90, 0x3C, 0x64}, {0x90}},
      {"M1 4.2: half a message under it", {0x90, 0x3C, 0x64, 0x40}, {0x90, 0x40}},
      {"M1 4.2: one data byte", {0xC1, 0x05}, {0xC1}},
      {"M1 4.2: real-time bytes disturb nothing", {0x90, 0xF8, 0x3C, 0xFE}, {0x90, 0x3C}},
      {"M1 4.2: system common clears it", {0x90, 0x3C, 0x64, 0xF6}, {}},
      {"M1 4.2: half a song position", {0xF2, 0x01}, {0xF2, 0x01}},
      {"M1 4.2: a whole one leaves no status", {0xF2, 0x01, 0x02}, {}},
      {"M1 4.2: inside SysEx", {0x90, 0x3C, 0x64, 0xF0, 0x7D, 0x01}, {0xF0}},
      {"M1 4.2: after SysEx", {0xF0, 0x7D, 0xF7}, {}},
      {"M1 4.2: undefined system common", {0x90, 0x3C, 0x64, 0xF4}, {}},
      {"a receiver obeys system reset", {0x90, 0x3C, 0xFF}, {}},
  };
  for (const auto& row : rows) {
    INFO(row.source);
    StreamTail tail(row.stream);
    CHECK(tail.bytes() == row.restated);
    CHECK(StreamTail(tail.bytes()).bytes() == row.restated);
    tail.clear();
    CHECK(tail.bytes().empty());
  }
}

TEST_CASE("only data, or the end of a SysEx, goes on with what came before") {
  CHECK(continues(Bytes{0x90}, Bytes{0x3C, 0x64}) == Continues::yes);
  CHECK(continues(Bytes{0x90}, Bytes{0xF8, 0x3C}) == Continues::yes);
  CHECK(continues(Bytes{0x90}, Bytes{0xF8}) == Continues::open);
  CHECK(continues(Bytes{0x90}, Bytes{}) == Continues::open);
  CHECK(continues(Bytes{0x90}, Bytes{0x80, 0x3C}) == Continues::no);
  CHECK(continues(Bytes{0x90}, Bytes{0xF7}) == Continues::no);
  CHECK(continues(Bytes{0xF0}, Bytes{0xF7}) == Continues::yes);
  CHECK(continues(Bytes{0x90}, Bytes{0xFF, 0x3C}) == Continues::no);
}
