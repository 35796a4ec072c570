// tests/app/io/message_cutter_test.cpp
#include "app/io/message_cutter.h"

#include <doctest/doctest.h>

using namespace strumwright::io;
using Bytes = std::vector<std::uint8_t>;

namespace {

std::vector<Bytes> cut(const std::vector<Bytes>& pushes) {
  MessageCutter cutter;
  std::vector<Bytes> pieces;
  const auto give = [&](std::span<const std::uint8_t> piece) {
    pieces.emplace_back(piece.begin(), piece.end());
  };
  for (const auto& bytes : pushes) cutter.push(bytes, give);
  cutter.finish(give);
  return pieces;
}

}  // namespace

TEST_CASE("bytes are cut into whole messages with their status, faults pass as they are") {
  struct Row {
    const char* source;
    Bytes bytes;
    std::vector<Bytes> pieces;
  };
  // M1: MIDI 1.0 Detailed Specification 4.2 and its tables of message lengths.
  const Row rows[] = {
      {"M1 running status", {0x90, 60, 100, 64, 90}, {{0x90, 60, 100}, {0x90, 64, 90}}},
      {"M1 one data byte", {0xC0, 5, 6, 0xD1, 7}, {{0xC0, 5}, {0xC0, 6}, {0xD1, 7}}},
      {"M1 real time inside", {0x90, 60, 0xF8, 100}, {{0xF8}, {0x90, 60, 100}}},
      {"M1 system common ends running status",
       {0x90, 60, 100, 0xF6, 64},
       {{0x90, 60, 100}, {0xF6}, {64}}},
      {"M1 song position", {0xF2, 1, 2, 3}, {{0xF2, 1, 2}, {3}}},
      {"M1 SysEx", {0xF0, 0x7E, 1, 0xF8, 2, 0xF7}, {{0xF8}, {0xF0, 0x7E, 1, 2, 0xF7}}},
      {"SysEx that a status ends", {0xF0, 1, 0x90, 60, 100}, {{0xF0, 1}, {0x90, 60, 100}}},
      {"message cut short", {0x90, 60, 0x80, 60, 0}, {{0x90, 60}, {0x80, 60, 0}}},
      {"stray data", {60, 100}, {{60}, {100}}},
      {"lone F7", {0xF7}, {{0xF7}}},
      {"undefined", {0xF4, 0xFD}, {{0xF4}, {0xFD}}},
      {"torn at the end", {0x90, 60}, {{0x90, 60}}},
  };
  for (const auto& row : rows) {
    INFO(row.source);
    CHECK(cut({row.bytes}) == row.pieces);
    std::vector<Bytes> singles;
    for (const auto byte : row.bytes) singles.push_back({byte});
    CHECK(cut(singles) == row.pieces);
  }
}

TEST_CASE("a SysEx is given whole up to its limit, then in pieces that miss no byte") {
  Bytes sysex(MessageCutter::longest_sysex, 0x11);
  sysex.front() = 0xF0;
  sysex.back() = 0xF7;
  CHECK(cut({sysex}) == std::vector<Bytes>{sysex});
  sysex.back() = 0x11;
  const auto pieces = cut({sysex, {0x22, 0xF7}});
  REQUIRE(pieces.size() == 2);
  CHECK(pieces[0] == sysex);
  CHECK(pieces[1] == Bytes{0x22, 0xF7});
}
