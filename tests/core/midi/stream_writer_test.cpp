// tests/core/midi/stream_writer_test.cpp
#include "core/midi/stream_writer.h"

#include <cstdint>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::midi;

namespace {

using Bytes = std::vector<std::uint8_t>;
struct Message {
  std::uint8_t status, data1, data2;
};

Bytes written(bool running_status, const std::vector<Message>& messages) {
  StreamWriter writer(running_status);
  Bytes out;
  for (const auto& [status, data1, data2] : messages) writer.append(status, data1, data2, out);
  return out;
}

}  // namespace

TEST_CASE("running status is sent as long as every receiver still has it") {
  struct Row {
    const char* source;
    std::vector<Message> messages;
    Bytes running;
    Bytes full;
  };
  const Row rows[] = {
      {"M1 4.2: the same status once",
       {{0x90, 60, 100}, {0x90, 60, 0}},
       {0x90, 60, 100, 60, 0},
       {0x90, 60, 100, 0x90, 60, 0}},
      {"M1 4.2: another channel is another status",
       {{0x90, 60, 100}, {0x91, 60, 100}},
       {0x90, 60, 100, 0x91, 60, 100},
       {0x90, 60, 100, 0x91, 60, 100}},
      {"M1 table II: one data byte",
       {{0xC0, 5, 9}, {0xC0, 6, 9}},
       {0xC0, 5, 6},
       {0xC0, 5, 0xC0, 6}},
      {"M1 A-2: real-time leaves it in force",
       {{0x90, 60, 100}, {0xF8, 9, 9}, {0x90, 62, 100}},
       {0x90, 60, 100, 0xF8, 62, 100},
       {0x90, 60, 100, 0xF8, 0x90, 62, 100}},
      {"M1 A-2 rule 3: common messages clear it",
       {{0x90, 60, 100}, {0xF2, 1, 2}, {0x90, 62, 100}, {0xF6, 9, 9}, {0x90, 64, 100}},
       {0x90, 60, 100, 0xF2, 1, 2, 0x90, 62, 100, 0xF6, 0x90, 64, 100},
       {0x90, 60, 100, 0xF2, 1, 2, 0x90, 62, 100, 0xF6, 0x90, 64, 100}},
      {"M1 System Reset: a receiver that obeys clears it",
       {{0x90, 60, 100}, {0xFF, 9, 9}, {0x90, 62, 100}},
       {0x90, 60, 100, 0xFF, 0x90, 62, 100},
       {0x90, 60, 100, 0xFF, 0x90, 62, 100}},
      {"M1 A-2: common messages have none",
       {{0xF3, 1, 9}, {0xF3, 1, 9}},
       {0xF3, 1, 0xF3, 1},
       {0xF3, 1, 0xF3, 1}},
  };
  for (const auto& row : rows) {
    INFO(row.source);
    CHECK(written(true, row.messages) == row.running);
    CHECK(written(false, row.messages) == row.full);
  }
}

TEST_CASE("what was forgotten is sent again") {
  StreamWriter writer(true);
  Bytes out;
  writer.append(0x90, 60, 100, out);
  writer.forget();
  writer.append(0x90, 62, 100, out);
  writer.append(0x90, 64, 100, out);
  CHECK(out == Bytes{0x90, 60, 100, 0x90, 62, 100, 64, 100});
}
