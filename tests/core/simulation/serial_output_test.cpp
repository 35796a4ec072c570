// tests/core/simulation/serial_output_test.cpp
#include "core/simulation/serial_output.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::simulation;

namespace {

using Bytes = std::vector<std::uint8_t>;

struct Got {
  std::int64_t t_ns;
  Bytes bytes;
  friend bool operator==(const Got&, const Got&) = default;
};

std::vector<Got> take_all(SerialOutput& output) {
  std::vector<Got> got;
  while (const auto run = output.take()) {
    got.push_back({run->t_ns, Bytes(run->bytes.begin(), run->bytes.end())});
  }
  return got;
}

Step note(std::int64_t t_ns, unsigned number) { return Step::message(t_ns, 0x90, number, 80); }

}  // namespace

TEST_CASE("messages wait until the wire is free, and what has no gap is one run") {
  SerialOutput output(false);
  CHECK(output.send(note(1000, 60)) == 1000);
  CHECK(output.send(note(1001, 64)) == 1000 + 3 * 320'000);
  CHECK(output.send(note(5'000'000, 67)) == 5'000'000);
  CHECK(output.free_ns() == 5'000'000 + 3 * 320'000);
  CHECK(output.bytes() == 9);
  const std::vector<Got> expected = {{1000, {0x90, 60, 80, 0x90, 64, 80}},
                                     {5'000'000, {0x90, 67, 80}}};
  CHECK(take_all(output) == expected);
}

TEST_CASE("running status leaves the status byte out until it is over a second old") {
  SerialOutput output(true);
  output.send(note(0, 60));
  output.send(note(SerialOutput::refresh_ns, 61));
  output.send(note(SerialOutput::refresh_ns + 1'000'000, 62));
  const std::vector<Got> expected = {{0, {0x90, 60, 80}},
                                     {SerialOutput::refresh_ns, {61, 80}},
                                     {SerialOutput::refresh_ns + 1'000'000, {0x90, 62, 80}}};
  CHECK(take_all(output) == expected);
}

TEST_CASE("while it is withheld the status byte is sent once and never again") {
  for (const bool running : {false, true}) {
    SerialOutput output(running);
    output.send(note(0, 60));
    output.withhold_status(true);
    for (int second = 1; second < 30; ++second) output.send(note(second * 1'000'000'000LL, 60));
    output.withhold_status(false);
    output.send(note(30'000'000'000, 60));
    CHECK(output.bytes() == 3 + 3 + 28 * 2 + 3);
  }
}

TEST_CASE("bytes as they are end running status, but real-time bytes do not") {
  SerialOutput output(true);
  output.send(note(0, 60));
  output.send(Step::raw(10'000'000, {0xFE}));
  output.send(note(20'000'000, 61));
  output.send(Step::raw(30'000'000, {0xF6, 1, 2}));
  output.send(note(40'000'000, 62));
  const std::vector<Got> expected = {{0, {0x90, 60, 80}},
                                     {10'000'000, {0xFE}},
                                     {20'000'000, {61, 80}},
                                     {30'000'000, {0xF6, 1, 2}},
                                     {40'000'000, {0x90, 62, 80}}};
  CHECK(take_all(output) == expected);
}

TEST_CASE("what is handed over keeps its time, however soon") {
  SerialOutput output(false);
  output.hand_over(note(0, 60));
  output.hand_over(note(0, 61));
  const std::vector<Got> expected = {{0, {0x90, 60, 80}}, {0, {0x90, 61, 80}}};
  CHECK(take_all(output) == expected);
}
