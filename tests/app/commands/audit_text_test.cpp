// tests/app/commands/audit_text_test.cpp
#include "app/commands/audit_text.h"

#include <doctest/doctest.h>

using namespace strumwright::commands;

TEST_CASE("numbers are grouped by three") {
  CHECK(grouped(0) == "0");
  CHECK(grouped(999) == "999");
  CHECK(grouped(1'000) == "1,000");
  CHECK(grouped(12'345'678) == "12,345,678");
}

TEST_CASE("a time reads as minutes, seconds and whole tenths") {
  CHECK(clock_text(0) == "00:00.0");
  CHECK(clock_text(99'999'999) == "00:00.0");
  CHECK(clock_text(84'600'000'000) == "01:24.6");
  CHECK(clock_text(3'600'000'000'000) == "60:00.0");
}
