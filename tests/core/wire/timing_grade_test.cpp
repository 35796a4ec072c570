// tests/core/wire/timing_grade_test.cpp
#include "core/wire/timing_grade.h"

#include <string>

#include <doctest/doctest.h>

using namespace strumwright::wire;

namespace {

constexpr std::int64_t second = 1'000'000'000;

/// Messages of three bytes far apart, of which each `every`-th follows the one before too soon.
/// Returns at which message the grade fell; 0 if it did not.
int fell_at(GradeWatch watch, int messages, int every) {
  std::int64_t t_ns = 0;
  for (int i = 1; i <= messages; ++i) {
    t_ns += i % every == 0 ? 0 : second;
    if (watch.push(t_ns, 3)) return i;
  }
  return 0;
}

}  // namespace

TEST_CASE("the eighth early message of the last 64 makes a source batched") {
  CHECK(fell_at(GradeWatch(Grade::byte), 15, 2) == 0);
  CHECK(fell_at(GradeWatch(Grade::byte), 16, 2) == 16);
  CHECK(fell_at(GradeWatch(Grade::message), 1000, 8) == 64);
  CHECK(fell_at(GradeWatch(Grade::wire), 1000, 9) == 72);
}

TEST_CASE("an early message that is the 65th newest counts no more") {
  struct Row {
    int fair_after_first;
    bool falls;
  };
  // The first early message, then fair ones, then seven early ones; the window holds 64.
  const Row rows[] = {{56, true}, {57, false}};
  for (const Row& row : rows) {
    GradeWatch watch(Grade::byte);
    std::int64_t t_ns = 0;
    bool fell = watch.push(t_ns, 3);
    fell |= watch.push(t_ns, 3);
    for (int i = 0; i < row.fair_after_first; ++i) fell |= watch.push(t_ns += second, 3);
    for (int i = 0; i < 7; ++i) fell |= watch.push(t_ns, 3);
    CHECK(fell == row.falls);
  }
}

TEST_CASE("early is before half the wire time of the message before, not at it") {
  struct Row {
    std::string source;
    std::uint64_t bytes;
    std::int64_t gap_ns;
    Grade grade;
  };
  const Row rows[] = {
      {"half of three bytes", 3, 480'000, Grade::byte},
      {"one ns less", 3, 479'999, Grade::batched},
      {"half of two bytes", 2, 320'000, Grade::byte},
      {"one ns less", 2, 319'999, Grade::batched},
      {"half of one byte", 1, 160'000, Grade::byte},
      {"one ns less", 1, 159'999, Grade::batched},
      {"a long SysEx", 1000, 159'999'999, Grade::batched},
      {"a long SysEx", 1000, 160'000'000, Grade::byte},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    GradeWatch watch(Grade::byte);
    for (int i = 0; i < 9; ++i) watch.push(i * row.gap_ns, row.bytes);
    CHECK(watch.grade() == row.grade);
  }
}

TEST_CASE("the first message is never early, whatever its time") {
  GradeWatch watch(Grade::message);
  for (int i = 0; i < 8; ++i) CHECK_FALSE(watch.push(-second, 3));
  CHECK(watch.push(-second, 3));
}

TEST_CASE("the grade falls once and never returns, and only from a grade that can time") {
  GradeWatch watch(Grade::wire);
  int falls = 0;
  for (int i = 0; i < 100; ++i) falls += watch.push(0, 3) ? 1 : 0;
  for (int i = 1; i < 1000; ++i) falls += watch.push(i * second, 3) ? 1 : 0;
  CHECK(falls == 1);
  CHECK(watch.grade() == Grade::batched);
  for (const Grade grade : {Grade::batched, Grade::none}) {
    GradeWatch fixed(grade);
    for (int i = 0; i < 100; ++i) CHECK_FALSE(fixed.push(0, 3));
    CHECK(fixed.grade() == grade);
  }
}

TEST_CASE("grades are spelled as documents spell them, and the best three can time") {
  CHECK(to_text(Grade::wire) == std::string("wire"));
  CHECK(to_text(Grade::byte) == std::string("byte"));
  CHECK(to_text(Grade::message) == std::string("message"));
  CHECK(to_text(Grade::batched) == std::string("batched"));
  CHECK(to_text(Grade::none) == std::string("none"));
  CHECK(can_time(Grade::message));
  CHECK_FALSE(can_time(Grade::batched));
}
