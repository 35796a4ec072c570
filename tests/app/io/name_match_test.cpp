// tests/app/io/name_match_test.cpp
#include "app/io/name_match.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::io;

TEST_CASE("numbers that change with each plug are no part of a name") {
  struct Row {
    const char* name;
    const char* lasting;
  };
  const Row rows[] = {
      {"Heron H-02:Heron H-02 MIDI 1 20:0", "Heron H-02:Heron H-02 MIDI 1"},
      {"Heron 128:15", "Heron"},
      {"heron:out", "heron:out"},
      {"heron:20", "heron:20"},
      {"Heron 20", "Heron 20"},
      {"Heron 20:", "Heron 20:"},
      {"Heron :0", "Heron :0"},
      {" 20:0", ""},
      {"20:0", "20:0"},
      {"", ""},
  };
  for (const auto& row : rows) {
    INFO(row.name);
    CHECK(lasting_name(row.name) == row.lasting);
  }
}

TEST_CASE("a name is found in full, else by the only port that contains it") {
  const std::vector<std::string> names{"Heron H-02 20:0", "heron:out", "Plover:out 1",
                                       "Plover:out 12", "Heron H-02 24:0"};
  struct Row {
    const char* wanted;
    int found;  // -1: an error
  };
  const Row rows[] = {
      {"heron:out", 1},    {"HERON:OUT", 1},
      {"Plover:out 1", 2}, {"plover:out 12", 3},
      {"heron h-02", 0},   {"heron h-02 24:0", 4},
      {":out 12", 3},      {"plover", -1},
      {"curlew", -1},      {"", -1},
  };
  for (const auto& row : rows) {
    INFO(row.wanted);
    const auto found = find_name(names, row.wanted, "MIDI inputs");
    REQUIRE(static_cast<bool>(found) == (row.found >= 0));
    if (found) CHECK(*found == static_cast<std::size_t>(row.found));
  }
}

TEST_CASE("who asks for an unknown or unclear name is told the near ones") {
  const std::vector<std::string> names{"a:1", "b:2", "c:3", "d:4", "e:5", "f:6", "Plover:out"};
  const auto unknown = find_name(names, "plovers", "MIDI inputs");
  REQUIRE_FALSE(unknown);
  CHECK(unknown.error().what ==
        "no port fits 'plovers'; there are 'Plover:out', 'e:5', 'a:1', 'b:2', 'c:3', 'd:4' and "
        "more");
  CHECK(unknown.error().where == "MIDI inputs");
  const auto unclear =
      find_name(std::vector<std::string>{"x:1", "x:2", "y:3"}, "X:", "MIDI inputs");
  REQUIRE_FALSE(unclear);
  CHECK(unclear.error().what == "several ports fit 'X:': 'x:1', 'x:2'");
  const auto none = find_name({}, "x", "MIDI inputs");
  REQUIRE_FALSE(none);
  CHECK(none.error().what == "no port fits 'x'; there is none at all");
}
