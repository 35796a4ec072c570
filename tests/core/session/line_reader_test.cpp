// tests/core/session/line_reader_test.cpp
#include "core/session/line_reader.h"

#include <string>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

#include "core/limits.h"

using namespace strumwright;
using namespace strumwright::session;

namespace {

struct OwnedLine {
  std::string text;
  std::uint64_t number;
  std::uint64_t offset;
  bool ended;
  friend bool operator==(const OwnedLine&, const OwnedLine&) = default;
};

struct Lines {
  std::vector<OwnedLine> lines;
  std::string complaint;
};

Lines lines_of(std::string_view text, std::size_t piece) {
  MemorySource source(text, piece);
  LineReader reader("evening", source);
  Lines out;
  for (;;) {
    auto line = reader.next();
    if (!line) out.complaint = line.error().where + ": " + line.error().what;
    if (!line || !*line) return out;
    const auto& [words, number, offset, ended] = **line;
    out.lines.push_back({std::string(words), number, offset, ended});
  }
}

}  // namespace

TEST_CASE("lines come with number, place and whether they ended, in whatever pieces") {
  for (const std::size_t piece : {1, 2, 5, 1000}) {
    CHECK(lines_of("", piece).lines.empty());
    CHECK(lines_of("a\n\nbc", piece).lines ==
          std::vector<OwnedLine>{{"a", 1, 0, true}, {"", 2, 2, true}, {"bc", 3, 3, false}});
    CHECK(lines_of("a\r\n", piece).lines == std::vector<OwnedLine>{{"a\r", 1, 0, true}});
    CHECK(lines_of("\xEF\xBB\xBF"
                   "a\n",
                   piece)
              .lines == std::vector<OwnedLine>{{"a", 1, 3, true}});
    CHECK(lines_of("\xEF\xBB", piece).lines == std::vector<OwnedLine>{{"\xEF\xBB", 1, 0, false}});
    CHECK(lines_of("\n\xEF\xBB\xBF", piece).lines.back().text == "\xEF\xBB\xBF");
  }
}

TEST_CASE("a line of 16 MiB is read and a longer one refused, ended or not") {
  constexpr std::size_t most = limits::line_bytes;
  for (const std::size_t piece : {std::size_t{700'000}, most * 2}) {
    for (const char* end : {"", "\n", "\nnext\n"}) {
      const auto read = lines_of("first\n" + std::string(most, 'x') + end, piece);
      CHECK(read.complaint.empty());
      REQUIRE(read.lines.size() >= 2);
      CHECK(read.lines[1].text == std::string(most, 'x'));
      const auto refused = lines_of("first\n" + std::string(most + 1, 'x') + end, piece);
      CHECK(refused.lines.size() == 1);
      CHECK(refused.complaint == "evening, line 2: the line is longer than 16 MiB");
    }
  }
}

TEST_CASE("a line that is at hand is given before more is asked for") {
  MemorySource source("abc\nde\nf", 6);
  LineReader reader("evening", source);
  REQUIRE(reader.next());
  CHECK(source.taken() == 6);
  CHECK(reader.buffered() == "de");
  REQUIRE(reader.next());
  CHECK(source.taken() == 8);
}

TEST_CASE("lines taken from the buffer count as read") {
  MemorySource source("a\nbb\nc\nd");
  LineReader reader("evening", source);
  REQUIRE(reader.next());
  reader.take_lines(2, 5);
  auto last = reader.next();
  REQUIRE(last);
  REQUIRE(*last);
  CHECK((*last)->text == "d");
  CHECK((*last)->number == 4);
  CHECK((*last)->offset == 7);
}
