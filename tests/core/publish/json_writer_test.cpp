// tests/core/publish/json_writer_test.cpp
#include "core/publish/json_writer.h"

#include <cmath>
#include <limits>
#include <optional>
#include <string>

#include <doctest/doctest.h>

using strumwright::publish::append_json_string;
using strumwright::publish::JsonWriter;

TEST_CASE("a document is written with commas only between its elements") {
  std::string text;
  JsonWriter json(text);
  json.begin_object();
  json.member("a", 1);
  json.key("b");
  json.begin_array();
  json.end_array();
  json.key("c");
  json.begin_array();
  json.value(true);
  json.null();
  json.begin_object();
  json.end_object();
  json.value(0.5);
  json.end_array();
  json.member("d", std::optional<int>());
  json.end_object();
  CHECK(text == R"({"a":1,"b":[],"c":[true,null,{},0.5],"d":null})");
}

TEST_CASE("numbers are exact and what is not finite is null") {
  std::string text;
  JsonWriter json(text);
  json.begin_array();
  json.value(std::numeric_limits<std::int64_t>::min());
  json.value(std::numeric_limits<std::uint64_t>::max());
  json.value(std::nan(""));
  json.value(std::numeric_limits<double>::infinity());
  json.value(0.1);
  json.end_array();
  CHECK(text == "[-9223372036854775808,18446744073709551615,null,null,0.1]");
}

TEST_CASE("text from outside cannot break out of a JSON string") {
  struct Row {
    const char* source;
    std::string text;
    std::string json;
  };
  const Row rows[] = {
      {"RFC 8259, 7: quote and backslash", "a\"b\\c", R"("a\"b\\c")"},
      {"RFC 8259, 7: control characters", std::string("\n\0\x1f", 3), R"("\u000a\u0000\u001f")"},
      {"ours: DEL too, for terminals", "\x7f", R"("\u007f")"},
      {"RFC 3629, 4: whole characters stay", "\xE2\x99\xAF", "\"\xE2\x99\xAF\""},
      {"RFC 3629, 4: over-long form", "\xC0\xAF", "\"\xEF\xBF\xBD\xEF\xBF\xBD\""},
      {"RFC 3629, 4: surrogate", "\xED\xA0\x80", "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\""},
      {"RFC 3629, 4: cut in the middle", "\xE2\x99", "\"\xEF\xBF\xBD\xEF\xBF\xBD\""},
  };
  for (const auto& row : rows) {
    INFO(row.source);
    std::string json;
    append_json_string(row.text, json);
    CHECK(json == row.json);
  }
}
