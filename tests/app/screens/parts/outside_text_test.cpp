// tests/app/screens/parts/outside_text_test.cpp
#include "app/screens/parts/outside_text.h"

#include <string>

#include <doctest/doctest.h>

using strumwright::screens::outside_text;

TEST_CASE("text from outside becomes one line that our fonts can draw") {
  struct Row {
    const char* why;
    std::string from;
    const char* to;
  };
  const Row rows[] = {
      {"plain text stays", "H-02, serial line", "H-02, serial line"},
      {"Latin letters stay", "Zither für Übung", "Zither für Übung"},
      {"accidentals stay", "B♭ and F♯", "B♭ and F♯"},
      {"line ends and tabs become one space", "a\r\n\t b", "a b"},
      {"spaces at the ends go", "  a  ", "a"},
      {"escape sequences lose their escape", "\x1b[31mred", "[31mred"},
      {"NUL inside", std::string("a\0b", 3), "a b"},
      {"direction marks go", "abc\u202Edef\u2066ghi", "abcdefghi"},
      {"marks without width go", "a\u200Bb\uFEFFc", "abc"},
      {"scripts we have no glyphs for", "琴 A", "? A"},
      {"a lone continuation byte", "a\x80z", "a?z"},
      {"a cut character", "a\xE2\x99", "a??"},
      {"an overlong slash", "\xC0\xAF", "??"},
      {"a surrogate", "\xED\xA0\x80", "?"},
      {"beyond Unicode", "\xF4\x90\x80\x80", "?"},
      {"nothing", "", ""},
  };
  for (const auto& row : rows) {
    INFO(row.why);
    CHECK(outside_text(row.from) == row.to);
  }
}

TEST_CASE("text from outside is cut at a whole character and says so") {
  CHECK(outside_text(std::string(200, 'x')) == std::string(200, 'x'));
  CHECK(outside_text(std::string(201, 'x')) == std::string(200, 'x') + "…");
  CHECK(outside_text("äöüß", 3) == "äöü…");
}
