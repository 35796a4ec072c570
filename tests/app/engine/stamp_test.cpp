// tests/app/engine/stamp_test.cpp
#include "app/engine/stamp.h"

#include <doctest/doctest.h>

using namespace strumwright::engine;

TEST_CASE("labels become words that are safe in a file name") {
  struct Row {
    const char* label;
    const char* word;
  };
  for (const auto& row : {Row{"", ""}, Row{"that one", "that-one"}, Row{"../../etc", "etc"},
                          Row{"E♭ hangs!", "E-hangs"}, Row{"--x--", "x"},
                          Row{"0123456789012345678901234567890123456789end",
                              "0123456789012345678901234567890123456789"}}) {
    CHECK(file_word(row.label) == row.word);
  }
}

TEST_CASE("stamps are in UTC") {
  // Source: 1,700,000,000 s after the epoch of POSIX is 2023-11-14 22:13:20 UTC (date -u -d @...).
  CHECK(iso_stamp(1'700'000'000) == "2023-11-14T22:13:20Z");
  CHECK(file_stamp(1'700'000'000) == "20231114-221320");
}
