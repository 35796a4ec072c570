// tests/core/session/capture_reader_test.cpp
#include "core/session/capture_reader.h"

#include <string>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

#include "core/limits.h"

using namespace strumwright;
using namespace strumwright::session;

namespace {

const std::string header = R"({"strumwright":"capture","version":1,"source":"H-02","raw":true,)"
                           R"("timing":"byte","started":"2026-01-31T18:00:00Z"})"
                           "\n";

ReadOut read_lines(const std::string& lines, std::size_t piece = SIZE_MAX) {
  return read_out(InputKind::capture, header + lines, piece);
}

/// A capture with every kind of entry, in our writer's shape and in others.
const std::string every_kind =
    R"({"strumwright":"capture","version":1,"sources":[{"source":"a","raw":true,"timing":"wire"},)"
    R"({"source":"b","timing":"message"}]})"
    "\n"
    R"({"t":0,"hex":"903c64"})"
    "\n"
    R"({"t":5,"hex":"FE","src":1})"
    "\n"
    R"({"t":5,"mark":"string 7 \"again\" ♯"})"
    "\n"
    R"( { "hex" : "803c40", "dir": "out", "src": 1, "t": 6 } )"
    "\r\n"
    R"({"t":7,"lost":12,"src":1})"
    "\n"
    R"({"t":8,"gone":1})"
    "\n"
    R"({"t":9,"back":1})"
    "\n"
    R"({"t":9,"settings":{"strum_gap_ms":80.5,"colour":"brass"}})"
    "\n"
    R"({"t":10,"hex":"","new":[{"nested":[1,2,{"x":null}]}]})"
    "\n"
    R"({"t":11,"end":true})"
    "\n";

}  // namespace

TEST_CASE("every kind of entry is read, whatever the pieces in which its bytes come") {
  const auto whole = read_out(InputKind::capture, every_kind);
  REQUIRE(whole.complaint().empty());
  REQUIRE(whole.header.sources.size() == 2);
  CHECK(whole.header.sources[0].name == "a");
  CHECK(whole.header.sources[0].raw);
  CHECK(whole.header.sources[0].timing == wire::Grade::wire);
  CHECK(whole.header.sources[1].timing == wire::Grade::message);
  CHECK_FALSE(whole.header.sources[1].raw);
  const Settings before;
  Settings after;
  after.strum_gap_ms = 80.5;
  using Kind = Entry::Kind;
  const std::vector<OwnedEntry> expected = {
      {Kind::chunk, false, 0, 0, {0x90, 0x3C, 0x64}, 0, "", before},
      {Kind::chunk, false, 1, 5, {0xFE}, 0, "", before},
      {Kind::mark, false, 0, 5, {}, 0, "string 7 \"again\" ♯", before},
      {Kind::chunk, true, 1, 6, {0x80, 0x3C, 0x40}, 0, "", before},
      {Kind::lost, false, 1, 7, {}, 12, "", before},
      {Kind::gone, false, 1, 8, {}, 0, "", before},
      {Kind::back, false, 1, 9, {}, 0, "", before},
      {Kind::settings, false, 0, 9, {}, 0, "", after},
      {Kind::chunk, false, 0, 10, {}, 0, "", after},
      {Kind::end, false, 0, 11, {}, 0, "", after},
  };
  CHECK(whole.entries == expected);
  for (const std::size_t piece : {1, 2, 3, 7, 64}) {
    CHECK(read_out(InputKind::capture, every_kind, piece).entries == expected);
  }
}

TEST_CASE("a capture cut at any byte gives its first entries, or says that the header is cut") {
  const auto whole = read_out(InputKind::capture, every_kind);
  const auto header_end = every_kind.find('\n');
  for (std::size_t cut = 0; cut < every_kind.size(); ++cut) {
    INFO("cut at byte ", cut);
    const auto torn = read_out(InputKind::capture, every_kind.substr(0, cut));
    if (cut < header_end) {
      CHECK(torn.error);
      continue;
    }
    REQUIRE(torn.complaint().empty());
    REQUIRE(torn.entries.size() <= whole.entries.size());
    for (std::size_t i = 0; i < torn.entries.size(); ++i)
      CHECK(torn.entries[i] == whole.entries[i]);
    // What is left behind the last whole line: nothing, a whole entry, or the torn one.
    const auto begun = every_kind.rfind('\n', cut == 0 ? 0 : cut - 1) + 1;
    const auto rest = every_kind.substr(begun, cut - begun);
    const auto last = rest.find_last_not_of(" \r");
    const bool is_whole = rest.empty() || (last != std::string::npos && rest[last] == '}' &&
                                           std::count(rest.begin(), rest.end(), '{') ==
                                               std::count(rest.begin(), rest.end(), '}'));
    CHECK(torn.torn_at.has_value() != (is_whole || cut == header_end));
    if (torn.torn_at) CHECK(*torn.torn_at == begun);
  }
}

TEST_CASE("a last line without line feed counts if it is JSON") {
  CHECK(read_lines(R"({"t":1,"hex":"90"})").entries.size() == 1);
  CHECK(read_lines(R"({"t":1,"hex":"90"}  )").entries.size() == 1);
  CHECK(read_lines(R"({"t":1,"hex":"9"})").complaint() ==
        "evening, line 2: \"hex\" has an odd number of digits");
  CHECK(read_lines(R"({"t":99999999999999999999999,"hex":"90"})").error);
  CHECK(read_lines(R"({"t":1,"hex":"9)").torn_at == header.size());
  CHECK(read_lines(std::string(4000, '\0')).torn_at == header.size());
}

TEST_CASE("a line that is no entry is refused, with its number") {
  struct Row {
    const char* line;
    const char* what;
  };
  const Row rows[] = {
      {R"({"t":1,"hex":"903"})", "\"hex\" has an odd number of digits"},
      {R"({"t":1,"hex":"90 3c"})", "\"hex\" has an odd number of digits"},
      {R"({"t":1,"hex":"9g"})", "\"hex\" holds something other than hex digits"},
      {R"({"t":1,"hex":90})", "\"hex\" is not a text"},
      {R"({"t":1,"hex":"90","src":1})", "\"src\" is not the index of a source from 0 to 0"},
      {R"({"t":1,"hex":"90","src":-1})", "\"src\" is not the index of a source from 0 to 0"},
      {R"({"t":1,"hex":"90","src":"0"})", "\"src\" is not the index of a source from 0 to 0"},
      {R"({"t":1,"hex":"90","dir":"up"})", "\"dir\" is neither \"out\" nor \"in\""},
      {R"({"t":-1,"hex":"90"})",
       "\"t\" is not a whole number of nanoseconds from 0 to 4000000000000000000"},
      {R"({"t":4000000000000000001,"hex":"90"})",
       "\"t\" is not a whole number of nanoseconds from 0 to 4000000000000000000"},
      {R"({"t":1.5,"hex":"90"})",
       "\"t\" is not a whole number of nanoseconds from 0 to 4000000000000000000"},
      {R"({"t":null,"hex":"90"})",
       "\"t\" is not a whole number of nanoseconds from 0 to 4000000000000000000"},
      {R"({"t":01,"hex":"90"})", "the line holds a number that cannot be read"},
      {R"({"hex":"90"})", "the line has no \"t\""},
      {R"({"t":1})", "the line has none of hex, mark, lost, gone, back, settings, end"},
      {R"({"t":1,"new":2})", "the line has none of hex, mark, lost, gone, back, settings, end"},
      {R"({"t":1,"hex":"90","mark":"x"})", "\"mark\" stands in the line of another entry"},
      {R"({"t":1,"mark":7})", "\"mark\" is not a text"},
      {R"({"t":1,"lost":-1})", "\"lost\" is not a whole number from 0 on"},
      {R"({"t":1,"gone":1})", "\"gone\" is not the index of a source from 0 to 0"},
      {R"({"t":1,"back":true})", "\"back\" is not the index of a source from 0 to 0"},
      {R"({"t":1,"end":false})", "\"end\" is not true"},
      {R"({"t":1,"settings":[]})", "\"settings\" is not an object"},
      {R"({"t":1,"settings":{"refractory_ms":-1}})",
       "\"refractory_ms\" is not a number of milliseconds from 0 to 1,000,000,000"},
      {R"({"t":1,"settings":{"hold_limit_ms":1000000001}})",
       "\"hold_limit_ms\" is not a number of milliseconds from 0 to 1,000,000,000"},
      {R"({"t":1,"settings":{"hold_limit_ms":1e400}})",
       "the line holds a number that cannot be read"},
      {R"([1,2])", "the line is not a JSON object"},
      {"", "the line is not valid JSON"},
      {R"({"t":1,"hex":"90")", "the line is not valid JSON"},
      {"{\"t\":1,\"mark\":\"\xFF\"}", "the line is not valid JSON"},
  };
  for (const auto& row : rows) {
    INFO(row.line);
    const auto out = read_lines(std::string(R"({"t":0,"hex":"fe"})") + "\n" + row.line + "\n");
    CHECK(out.entries.size() == 1);
    CHECK(out.complaint() == std::string("evening, line 3: ") + row.what);
    if (out.error) CHECK_FALSE(out.error->remedy.empty());
  }
}

TEST_CASE("times may stand still but not go back, in either shape of line") {
  CHECK(read_lines("{\"t\":5,\"hex\":\"fe\"}\n{\"t\":5,\"hex\":\"fe\"}\n").entries.size() == 2);
  for (const char* line : {"{\"t\":4,\"hex\":\"fe\"}\n", "{\"hex\":\"fe\",\"t\":4}\n"}) {
    const auto out = read_lines(std::string("{\"t\":5,\"hex\":\"fe\"}\n") + line);
    CHECK(out.complaint() == "evening, line 3: the time goes back, from 5 to 4 ns");
  }
}

TEST_CASE("nothing may follow the end") {
  const std::string end = "{\"t\":5,\"end\":true}\n";
  CHECK(read_lines(end).entries.size() == 1);
  CHECK(read_lines(end + "{\"t\":5,\"hex\":\"fe\"}\n").complaint() ==
        "evening, line 3: an entry follows the end of the capture");
  CHECK(read_lines(end + "{\"t\":5,\"he").torn_at == header.size() + end.size());
}

TEST_CASE("of a key given twice the last counts") {
  const auto out = read_lines("{\"t\":9,\"hex\":\"fe\",\"hex\":\"f8\",\"t\":3}\n");
  REQUIRE(out.entries.size() == 1);
  CHECK(out.entries[0].t_ns == 3);
  CHECK(out.entries[0].bytes == std::vector<std::uint8_t>{0xF8});
}

TEST_CASE("a header that cannot be taken is refused in a sentence") {
  struct Row {
    const char* text;
    const char* complaint;
  };
  const Row rows[] = {
      {"", "evening: the file is empty"},
      {"\n", "evening, line 1: this is not a capture: its first line is not JSON"},
      {"MThd", "evening, line 1: this is not a capture: its first line is not JSON"},
      {R"({"strumwright":"capt)", "evening, line 1: the capture is cut off inside its first line"},
      {R"({"t":0,"hex":"90"})", "evening, line 1: the first line is not the header of a capture"},
      {R"({"strumwright":"instrument","version":1})",
       "evening, line 1: the first line is not the header of a capture"},
      {R"({"strumwright":"capture"})", "evening, line 1: the header has no version number"},
      {R"({"strumwright":"capture","version":"1"})",
       "evening, line 1: the header has no version number"},
      {R"({"strumwright":"capture","version":0})",
       "evening, line 1: the header has no version number"},
      {R"({"strumwright":"capture","version":2})",
       "evening, line 1: the capture has format version 2, and this program reads version 1"},
      {R"({"strumwright":"capture","version":1,"source":5})",
       "evening, line 1: \"source\" is not a text"},
      {R"({"strumwright":"capture","version":1,"raw":"yes"})",
       "evening, line 1: \"raw\" is neither true nor false"},
      {R"({"strumwright":"capture","version":1,"timing":"good"})",
       "evening, line 1: \"timing\" is none of wire, byte, message, batched, none"},
      {R"({"strumwright":"capture","version":1,"resolution_ns":-1})",
       "evening, line 1: \"resolution_ns\" is not a whole number from 0 on"},
      {R"({"strumwright":"capture","version":1,"sources":"a"})",
       "evening, line 1: \"sources\" is not a list"},
      {R"({"strumwright":"capture","version":1,"sources":[]})",
       "evening, line 1: \"sources\" is an empty list"},
      {R"({"strumwright":"capture","version":1,"carried":[]})",
       "evening, line 1: \"carried\" is not an object"},
      {R"({"strumwright":"capture","version":1,"carried":{"gone":[1]}})",
       "evening, line 1: \"gone\" is not a list of sources"},
      {R"({"strumwright":"capture","version":1,"carried":{"open":["903c64"]}})",
       "evening, line 1: \"open\" is not a list of a few bytes a source"},
      {R"({"strumwright":"capture","version":1,"carried":{"open":["90",""]}})",
       "evening, line 1: \"open\" is not a list of a few bytes a source"},
      {R"({"strumwright":"capture","version":1,"carried":{"settings":{"strum_gap_ms":-1}}})",
       "evening, line 1: \"strum_gap_ms\" is not a number of milliseconds from 0 to 1,000,000,000"},
      {R"({"strumwright":"capture","version":1,"sources":["a"]})",
       "evening, line 1: \"sources\" holds something other than objects"},
  };
  for (const auto& row : rows) {
    INFO(row.text);
    const auto out = read_out(InputKind::capture, row.text);
    CHECK(out.complaint() == row.complaint);
    if (out.error) CHECK_FALSE(out.error->remedy.empty());
  }
}

TEST_CASE("what a header leaves out claims nothing, and unknown keys are ignored") {
  const auto bare =
      read_out(InputKind::capture, R"({"strumwright":"capture","version":1,"x":[{}]})");
  REQUIRE(bare.header.sources.size() == 1);
  CHECK(bare.header.sources[0].name == "evening");
  CHECK_FALSE(bare.header.sources[0].raw);
  CHECK(bare.header.sources[0].timing == wire::Grade::none);
  CHECK_FALSE(bare.header.sources[0].resolution_ns);
  const auto shared = read_out(InputKind::capture, R"({"strumwright":"capture","version":1,)"
                                                   R"("raw":true,"timing":"byte","sources":[)"
                                                   R"({"name":"a"},{"source":"b","raw":false}]})");
  REQUIRE(shared.header.sources.size() == 2);
  CHECK(shared.header.sources[0].raw);
  CHECK(shared.header.sources[0].name == "a");
  CHECK_FALSE(shared.header.sources[1].raw);
  CHECK(shared.header.sources[1].timing == wire::Grade::byte);
}

TEST_CASE("64 sources are taken and 65 are not") {
  const auto with = [](int count) {
    std::string text = R"({"strumwright":"capture","version":1,"sources":[{})";
    for (int i = 1; i < count; ++i) text += ",{}";
    return read_out(InputKind::capture, text + "]}");
  };
  CHECK(with(64).header.sources.size() == 64);
  CHECK(with(65).complaint() == "evening, line 1: \"sources\" lists more than 64 sources");
}

TEST_CASE("names and marks from outside are cut and cleaned") {
  const auto out =
      read_out(InputKind::capture, R"({"strumwright":"capture","version":1,"source":")" +
                                       std::string(300, 'n') + "\"}\n" +
                                       R"({"t":0,"mark":"a\u0007\u001b[2Jb\u202e"})");
  CHECK(out.header.sources[0].name == std::string(200, 'n'));
  REQUIRE(out.entries.size() == 1);
  CHECK(out.entries[0].text == "a  [2Jb ");
}

TEST_CASE("lines may be nested 16 deep and 16 MiB long, not more") {
  const auto nested = [](int arrays) {
    return "{\"t\":1,\"hex\":\"fe\",\"x\":" + std::string(arrays, '[') + std::string(arrays, ']') +
           "}\n";
  };
  CHECK(read_lines(nested(15)).entries.size() == 1);  // the line itself is the first level
  CHECK(read_lines(nested(16)).complaint() == "evening, line 2: the line is nested too deep");
  const auto long_line = [](std::size_t bytes) {
    const std::string start = "{\"t\":1,\"hex\":\"";
    std::string line = start + std::string((bytes - start.size() - 2) & ~1UL, 'f') + "\"}";
    line.insert(line.size() - 1, bytes - line.size(), ' ');
    return line + "\n";
  };
  CHECK(read_lines(long_line(limits::line_bytes)).entries.size() == 1);
  CHECK(read_lines(long_line(limits::line_bytes - 1)).entries.size() == 1);
  CHECK(read_lines(long_line(limits::line_bytes + 1)).complaint() ==
        "evening, line 2: the line is longer than 16 MiB");
  CHECK(read_lines(long_line(limits::line_bytes + 2)).complaint() ==
        "evening, line 2: the line is longer than 16 MiB");
}

TEST_CASE("a file of zeros is refused after little more than 16 MiB of it") {
  MemorySource zeros(std::string(2 * limits::line_bytes, '\0'));
  const auto reader = open_input(InputKind::capture, "evening", zeros);
  REQUIRE_FALSE(reader);
  CHECK(reader.error().what == "the line is longer than 16 MiB");
  CHECK(zeros.taken() <= limits::line_bytes + 256 * 1024);
}

TEST_CASE("a byte order mark before the header does not matter, nor do the pieces it comes in") {
  for (const std::size_t piece : {1, 2, 3, 100}) {
    const auto out = read_out(InputKind::capture, "\xEF\xBB\xBF" + header + "{\"t\":1", piece);
    CHECK(out.complaint().empty());
    CHECK(out.torn_at == header.size() + 3);
  }
}

TEST_CASE("an error of the byte source is handed on") {
  class Failing final : public ByteSource {
    Result<std::size_t> read(std::span<std::uint8_t>) override {
      return Error{"it is a directory", "evening", "name a file"};
    }
  };
  Failing failing;
  const auto reader = open_input(InputKind::capture, "evening", failing);
  REQUIRE_FALSE(reader);
  CHECK(reader.error().what == "it is a directory");
}
