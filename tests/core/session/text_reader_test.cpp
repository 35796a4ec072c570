// tests/core/session/text_reader_test.cpp
#include "core/session/text_reader.h"

#include <string>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::session;

namespace {

ReadOut read_as(const char* as, std::string_view text) {
  MemorySource source(text);
  auto reader = open_input(InputKind::text, "evening", source, text_reading_by_name(as));
  if (reader) return drain(**reader);
  ReadOut out;
  out.error = reader.error();
  return out;
}

}  // namespace

TEST_CASE("a text that reads one way is read, and says how") {
  struct Row {
    const char* text;
    const char* reading;
    std::vector<std::uint8_t> bytes;
    std::vector<std::int64_t> times_ns;
  };
  const std::vector<std::uint8_t> note = {0x90, 0x3C, 0x64};
  const std::vector<std::uint8_t> on_off = {0x90, 0x3C, 0x64, 0x80, 0x3C, 0x00};
  const Row rows[] = {
      {"90 3C 64", "text-hex", note, {0}},
      {"90 3C 64\n80 3C 00\n", "text-hex", on_off, {0, 960'000}},
      {"903c64", "text-hex", note, {0}},
      {"144 60 100", "text-dec", note, {0}},
      {"144,60,100;128,60,0 # off", "text-dec", on_off, {0}},
      {"0x90 0x3C 0x64", "text-hex", note, {0}},
      {"0x90 60 100", "text-dec", note, {0}},  // 100 is no hex byte
      {"0x90 3C 64", "text-hex", note, {0}},
      {"0.25 90 3C 64\n0.5 80 3C 0", "text-hex-s", on_off, {250'000'000, 500'000'000}},
      {"250ms 90 3C 64\n500ms 80 3C 0", "text-hex-ms", on_off, {250'000'000, 500'000'000}},
      {"2.5 ms: 144 60 100\n7 ms: 128 60 0", "text-dec-ms", on_off, {2'500'000, 7'000'000}},
      {"0us 90 3C 64\n320.5us 80 3C 0", "text-hex-us", on_off, {0, 320'500}},
      {"0 s 90 3C 64\n2 s 80 3C 0", "text-hex-s", on_off, {0, 2'000'000'000}},
      {"1.23456789012 90 3C 64", "text-hex-s", note, {1'234'567'890}},
      {"# played by hand\n\n3C 64 # running status\n", "text-hex", {0x3C, 0x64}, {0}},
      {"9 9\n9", "text-hex", {9, 9, 9}, {0, 640'000}},  // the same in hex and decimal
  };
  for (const auto& row : rows) {
    INFO(row.text);
    const auto out = read_out(InputKind::text, row.text);
    CHECK(out.complaint().empty());
    CHECK(out.bytes() == row.bytes);
    std::vector<std::int64_t> times_ns;
    for (const auto& entry : out.entries) times_ns.push_back(entry.t_ns);
    CHECK(times_ns == row.times_ns);
    REQUIRE(out.header.remarks.size() == 1);
    CHECK(out.header.remarks[0].starts_with(std::string("read as ") + row.reading + ":"));
    const bool timed = std::string_view(row.reading).size() > 8;
    CHECK(out.header.sources[0].timing == (timed ? wire::Grade::message : wire::Grade::none));
    CHECK(out.header.sources[0].raw != timed);
    CHECK(read_as(row.reading, row.text).entries == out.entries);
  }
}

TEST_CASE("a text that reads several ways is asked about") {
  struct Row {
    const char* text;
    const char* ways;
  };
  const Row rows[] = {
      {"90 60 64\n80 60 40", "2 ways: text-hex, text-dec"},
      {"90 60 64", "2 ways: text-hex, text-dec"},
      {"0.5 90 60 64", "2 ways: text-hex-s, text-dec-s"},
      {"0 90 3C 64\n12 80 3C 40", "3 ways: text-hex-s, text-hex-ms, text-hex-us"},
      {"0 144 60 100\n500 128 60 0", "3 ways: text-dec-s, text-dec-ms, text-dec-us"},
      {"128 90 60 64",
       "7 ways: text-hex-s, text-hex-ms, text-hex-us, text-dec, text-dec-s, "
       "text-dec-ms, text-dec-us"},
  };
  for (const auto& row : rows) {
    INFO(row.text);
    const auto out = read_out(InputKind::text, row.text);
    CHECK(out.complaint() ==
          std::string("evening, line 1: the numbers can be read in ") + row.ways);
    REQUIRE(out.error);
    CHECK(out.error->remedy.find("--as text-") != std::string::npos);
    const std::string ways = row.ways;
    const auto first = ways.substr(8, ways.find(',') - 8);
    CHECK(read_as(first.c_str(), row.text).complaint().empty());
  }
}

TEST_CASE("one number that only one base has settles the base") {
  CHECK(read_out(InputKind::text, "90 60 64\n80 6a 40").complaint().empty());
  CHECK(read_out(InputKind::text, "90 60 64\n80 99 40").error);
  CHECK(read_out(InputKind::text, "90 60 64\n80 100 40").bytes()[0] == 90);
  CHECK(read_out(InputKind::text, "90 60 64\n80 256 40").complaint() ==
        "evening, line 2, column 4: '256' is not a hex byte");
}

TEST_CASE("what is no text of numbers is refused, with line and column") {
  struct Row {
    const char* text;
    const char* complaint;
  };
  const Row rows[] = {
      {"Note on", "evening, line 1, column 1: 'Note' is not a hex byte"},
      {"90 3C 64\n\n80 on", "evening, line 3, column 4: 'on' is not a hex byte"},
      {"144 60 300", "evening, line 1, column 8: '300' is not a decimal byte"},
      {"0.5 90 3C 64\n0.4 80 3C 40", "evening, line 2, column 1: the time goes back"},
      {"0.5 90 3C 64\n0.6", "evening, line 2, column 1: no byte stands behind the time"},
      {"-1.0 90 3C 64", "evening, line 1, column 1: '-1.0' is not a hex byte"},
      {"5s 90 3C 64\n6ms 80 3C 40", "evening, line 2, column 1: '6ms' is not a time in s"},
      {"9999999999999999999s 90 3C",
       "evening, line 1, column 1: '9999999999999999999s' is not a "
       "hex byte"},
      {"0x 90", "evening, line 1, column 1: '0x' is not a hex byte"},
  };
  for (const auto& row : rows) {
    INFO(row.text);
    const auto out = read_out(InputKind::text, row.text);
    CHECK(out.complaint() == row.complaint);
    if (out.error) CHECK_FALSE(out.error->remedy.empty());
  }
}

TEST_CASE("a line beyond the first ones must read as they did") {
  std::string text;
  for (int i = 0; i < 300; ++i) text += "90 3C 64\n";
  CHECK(read_out(InputKind::text, text).entries.size() == 300);
  const auto out = read_out(InputKind::text, text + "144 60\n");
  CHECK(out.entries.size() == 300);
  CHECK(out.complaint() == "evening, line 301, column 1: '144' is not a hex byte");
  std::string timed;
  for (int i = 0; i < 300; ++i) timed += "1.5 90 3C 64\n";
  CHECK(read_out(InputKind::text, timed + "1.5 80 3C 40").complaint().empty());
  CHECK(read_out(InputKind::text, timed + "1.4999 80 3C 40").complaint() ==
        "evening, line 301, column 1: the time goes back");
}

TEST_CASE("a text without numbers has no entries") {
  for (const char* text : {"", "\n\n", "# nothing\n", " \t\r\n"}) {
    const auto out = read_out(InputKind::text, text);
    CHECK(out.complaint().empty());
    CHECK(out.entries.empty());
  }
}

TEST_CASE("the remark shows the first lines as they were read") {
  const auto out = read_out(InputKind::text, "0.5 90 3C 64\n0.5 80 3C 40\n");
  REQUIRE(out.header.remarks.size() == 1);
  CHECK(out.header.remarks[0] ==
        "read as text-hex-s: hex bytes, the first column is the time in s; line 1 is 90 3C 64 at "
        "500000000 ns; line 2 is 80 3C 40 at 500000000 ns");
}

TEST_CASE("every reading has a name that leads back to it, and no other name does") {
  CHECK(text_readings().size() == 8);
  for (const auto reading : text_readings()) {
    CHECK(text_reading_by_name(to_text(reading)) == reading);
    CHECK(kind_by_name(to_text(reading)) == InputKind::text);
  }
  for (const char* name : {"text", "text-", "text-hex-", "text-hex-min", "hex"}) {
    CHECK_FALSE(text_reading_by_name(name));
  }
}
