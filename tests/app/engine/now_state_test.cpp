// tests/app/engine/now_state_test.cpp
#include "app/engine/now_state.h"

#include <string_view>

#include <doctest/doctest.h>

using namespace strumwright::engine;

TEST_CASE("a label is cut at a whole UTF-8 character, and never lacks its end") {
  struct Row {
    std::string_view from;
    std::string_view kept;
  };
  for (const auto& row :
       {Row{"", ""}, Row{{}, ""}, Row{"1234567", "1234567"}, Row{"12345678", "1234567"},
        Row{"12345é", "12345é"}, Row{"123456é", "123456"}, Row{"1234♭", "1234♭"},
        Row{"12345♭", "12345"}}) {
    Label<8> label;
    label.set("before");
    label.set(row.from);
    CHECK(label.view() == row.kept);
  }
}
