// tests/core/diagnosis/figures_test.cpp
#include "core/diagnosis/figures.h"

#include <limits>

#include <doctest/doctest.h>

using namespace strumwright::diagnosis;

TEST_CASE("a span is rounded half away from zero and never shows a figure of the next form") {
  struct Row {
    std::int64_t ns;
    const char* text;
  };
  const Row rows[] = {
      {0, "0.00 ms"},
      {4'999, "0.00 ms"},
      {5'000, "0.01 ms"},
      {960'000, "0.96 ms"},
      {-960'000, "-0.96 ms"},
      {9'994'999, "9.99 ms"},
      {9'995'000, "10.0 ms"},
      {48'349'999, "48.3 ms"},
      {48'350'000, "48.4 ms"},
      {999'949'999, "999.9 ms"},
      {999'950'000, "1.0 s"},
      {30'000'000'001, "30.0 s"},
      {std::numeric_limits<std::int64_t>::max(), "9223372036.9 s"},
      {std::numeric_limits<std::int64_t>::min(), "-9223372036.9 s"},
  };
  for (const auto& row : rows) CHECK(span_text(row.ns) == row.text);
}

TEST_CASE("shares, bytes and counts are written as people write them") {
  CHECK(percent_text(935) == "93.5 %");
  CHECK(percent_text(1000) == "100.0 %");
  CHECK(percent_text(-4) == "-0.4 %");
  CHECK(hex_text(0x9A) == "9A");
  CHECK(hex_text(0) == "00");
  CHECK(counted(0, "byte") == "0 bytes");
  CHECK(counted(1, "byte") == "1 byte");
  CHECK(counted(12, "byte") == "12 bytes");
}
