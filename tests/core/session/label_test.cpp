// tests/core/session/label_test.cpp
#include "core/session/label.h"

#include <string>

#include <doctest/doctest.h>

using namespace strumwright::session;

TEST_CASE("a label keeps its characters but those that could break a layout") {
  struct Row {
    const char* what;
    std::string text;
    std::string label;
  };
  const Row rows[] = {
      {"plain", "H-02", "H-02"},
      {"two, three and four bytes", "é♯𝄞", "é♯𝄞"},
      {"C0 and DEL", "a\n\x1B[2J\x7F", "a  [2J "},
      {"C1",
       "a\xC2\x85"
       "b\xC2\xA0",
       "a b\xC2\xA0"},
      {"line and paragraph separators", "a\xE2\x80\xA8\xE2\x80\xA9", "a  "},
      {"direction", "a\xE2\x80\xAE\xE2\x81\xA6", "a  "},
      {"Unicode 15, 3-7: lone continuation", "\x80", "\xEF\xBF\xBD"},
      {"Unicode 15, 3-7: overlong", "\xC0\xAF", "\xEF\xBF\xBD\xEF\xBF\xBD"},
      {"Unicode 15, 3-7: overlong of three", "\xE0\x9F\xBF",
       "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"},
      {"Unicode 15, 3-7: first of three", "\xE0\xA0\x80", "\xE0\xA0\x80"},
      {"Unicode 15, 3-7: last before the surrogates", "\xED\x9F\xBF", "\xED\x9F\xBF"},
      {"Unicode 15, 3-7: surrogate", "\xED\xA0\x80", "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"},
      {"Unicode 15, 3-7: the last", "\xF4\x8F\xBF\xBF", "\xF4\x8F\xBF\xBF"},
      {"Unicode 15, 3-7: beyond", "\xF4\x90\x80\x80",
       "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"},
      {"cut off", "a\xE2\x99", "a\xEF\xBF\xBD\xEF\xBF\xBD"},
  };
  for (const auto& row : rows) {
    INFO(row.what);
    CHECK(clean_label(row.text) == row.label);
  }
}

TEST_CASE("a label has 200 characters, not bytes, and not more") {
  std::string text;
  for (int i = 0; i < 200; ++i) text += "♯";
  CHECK(clean_label(text) == text);
  CHECK(clean_label(text + "x") == text);
}

TEST_CASE("the base name is what stands behind the last separator") {
  CHECK(base_name("/a/b.hex") == "b.hex");
  CHECK(base_name("a\\b.hex") == "b.hex");
  CHECK(base_name("b.hex") == "b.hex");
  CHECK(base_name("-") == "-");
}
