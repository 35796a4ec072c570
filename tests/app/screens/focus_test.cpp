// tests/app/screens/focus_test.cpp
#include "app/screens/focus.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::screens;

TEST_CASE("the focus goes round the targets in their order and comes back to a lost place") {
  const std::vector<Target> targets = {{"keep", {}}, {"area.hear", {}}, {"area.notes", {}}};
  struct Row {
    const char* from;
    bool backwards;
    const char* to;
  };
  const Row rows[] = {{"", false, "keep"},           {"keep", false, "area.hear"},
                      {"area.notes", false, "keep"}, {"keep", true, "area.notes"},
                      {"gone", true, "area.notes"},  {"gone", false, "keep"}};
  for (const auto& row : rows) CHECK(next_focus(targets, row.from, row.backwards) == row.to);
  CHECK(next_focus({}, "keep", false).empty());
}
