// tests/core/session/hex_reader_test.cpp
#include "core/session/hex_reader.h"

#include <string>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::session;

TEST_CASE("hex bytes are read in any spacing and case, with comments") {
  struct Row {
    const char* text;
    std::vector<std::uint8_t> bytes;
  };
  const Row rows[] = {
      {"", {}},
      {" \n# nothing played\n", {}},
      {"90 3C 64", {0x90, 0x3C, 0x64}},
      {"903c64", {0x90, 0x3C, 0x64}},
      {"90\t3c\r\n64 # C\n80 3c 40", {0x90, 0x3C, 0x64, 0x80, 0x3C, 0x40}},
      {"0x90, 0x3C, 0X64,", {0x90, 0x3C, 0x64}},
      {"0x903C64", {0x90, 0x3C, 0x64}},
      {"00 00#00\n0f", {0x00, 0x00, 0x0F}},
      {"# 9", {}},
  };
  for (const auto& row : rows) {
    INFO(row.text);
    for (const std::size_t piece : {1, 2, 100}) {
      const auto out = read_out(InputKind::hex, row.text, piece);
      CHECK(out.complaint().empty());
      CHECK(out.bytes() == row.bytes);
    }
  }
}

TEST_CASE("what is not whole bytes is refused, with line and column") {
  struct Row {
    const char* text;
    std::size_t bytes_before;
    const char* complaint;
  };
  const Row rows[] = {
      {"9", 0, "evening, line 1, column 1: an odd number of hex digits stands together"},
      {"90 3", 1, "evening, line 1, column 4: an odd number of hex digits stands together"},
      {"90\n 3C 641 80", 3,
       "evening, line 2, column 5: an odd number of hex digits stands together"},
      {"9 0", 0, "evening, line 1, column 1: an odd number of hex digits stands together"},
      {"0 90", 0, "evening, line 1, column 1: an odd number of hex digits stands together"},
      {"90#\n3#", 1, "evening, line 2, column 1: an odd number of hex digits stands together"},
      {"90 0x", 1, "evening, line 1, column 4: 0x has no digits behind it"},
      {"0x 90", 0, "evening, line 1, column 1: 0x has no digits behind it"},
      {"0x9", 0, "evening, line 1, column 1: an odd number of hex digits stands together"},
      {"90 0x0x", 1, "evening, line 1, column 7: 'x' is not a hex digit"},
      {"90 on", 1, "evening, line 1, column 4: 'o' is not a hex digit"},
      {"\x80", 0, "evening, line 1, column 1: the byte 80 is not a hex digit"},
  };
  for (const auto& row : rows) {
    INFO(row.text);
    for (const std::size_t piece : {1, 100}) {
      const auto out = read_out(InputKind::hex, row.text, piece);
      CHECK(out.complaint() == row.complaint);
      CHECK(out.bytes().size() == row.bytes_before);
      if (out.error) CHECK_FALSE(out.error->remedy.empty());
    }
  }
}

TEST_CASE("a hex dump claims raw bytes, no times, and the name of its file") {
  MemorySource source("90");
  auto reader = open_input(InputKind::hex, "/recordings/dump.hex", source);
  REQUIRE(reader);
  REQUIRE((*reader)->header().sources.size() == 1);
  CHECK((*reader)->header().sources[0].name == "dump.hex");
  CHECK((*reader)->header().sources[0].raw);
  CHECK((*reader)->header().sources[0].timing == wire::Grade::none);
}

TEST_CASE("blocks of a long hex dump follow each other at wire speed") {
  std::string text;
  for (int i = 0; i < 70'000; ++i) text += i % 2 == 0 ? "f8" : "fe";
  const auto out = read_out(InputKind::hex, text);
  CHECK(out.bytes().size() == 70'000);
  std::int64_t due_ns = 0;
  for (const auto& entry : out.entries) {
    CHECK(entry.t_ns == due_ns);
    CHECK(entry.bytes.size() <= 65'536);
    due_ns += static_cast<std::int64_t>(entry.bytes.size()) * 320'000;
  }
}
