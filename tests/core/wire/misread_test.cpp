// tests/core/wire/misread_test.cpp
#include "core/wire/misread.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::wire;

namespace {

using Bytes = std::vector<std::uint8_t>;

SentBits sent(const Bytes& bytes) {
  SentBits line;
  line.idle(3);
  for (const auto byte : bytes) line.send(byte);
  line.idle(30);
  return line;
}

}  // namespace

TEST_CASE("at the right rate every byte is read as it was sent") {
  Bytes all;
  for (int byte = 0; byte < 256; ++byte) all.push_back(static_cast<std::uint8_t>(byte));
  CHECK(misread(sent(all), 1, BadFrames::dropped) == all);
}

TEST_CASE("a clock may be off by less than half a bit at the stop bit's middle") {
  // Source: arithmetic, 0.5 / 9.5 = 5.263 % of the receiver's bit, bytes without a pause.
  struct Row {
    std::string source;
    double sender_bits;
    bool good;
  };
  const Row rows[] = {{"fast, within", 1.0526, true},
                      {"fast, beyond", 1.0527, false},
                      {"slow, within", 0.9474, true},
                      {"slow, beyond", 0.9473, false}};
  for (const Row& row : rows) {
    INFO(row.source);
    const Bytes zeros = {0x00, 0x00};
    CHECK((misread(sent(zeros), row.sender_bits, BadFrames::dropped) == zeros) == row.good);
  }
}

TEST_CASE("what a receiver at 31,250 reads of other rates, bit by bit") {
  struct Row {
    std::string source;
    double baud;
    Bytes sent;
    Bytes dropped;
    Bytes kept;
  };
  const Row rows[] = {
      // Worked out by hand.
      {"a quarter of the rate: each bit four times", 7'812.5, {0xFF}, {0xF8}, {0xF8}},
      {"a zero at a quarter: low too long", 7'812.5, {0x00}, {}, {0x00}},
      {"twice the rate: bits 2 4 6, then the line at rest", 62'500, {0xAA}, {0xF8}, {0xF8}},
      {"four times: a start too short is none", 125'000, {0xFF}, {}, {}},
      {"four times: start and three bits low", 125'000, {0xF8}, {0xFF}, {0xFF}},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    const SentBits line = sent(row.sent);
    CHECK(misread(line, row.baud / 31'250, BadFrames::dropped) == row.dropped);
    CHECK(misread(line, row.baud / 31'250, BadFrames::kept) == row.kept);
  }
}
