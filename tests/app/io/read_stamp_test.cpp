// tests/app/io/read_stamp_test.cpp
#include "app/io/read_stamp.h"

#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::io;

TEST_CASE("a read is stamped its wire time earlier, never before what came ahead of it") {
  constexpr std::int64_t us = 1000;
  struct Read {
    std::int64_t read_ns;
    std::size_t bytes;
    std::int64_t t_ns;
  };
  struct Row {
    const char* source;
    std::vector<Read> reads;
  };
  // rules.md 1: a serial reader subtracts the bytes' wire time from the time of the read.
  const Row rows[] = {
      {"one message", {{10'000 * us, 3, 9'040 * us}}},
      {"byte by byte at wire speed",
       {{1'000 * us, 1, 680 * us}, {1'320 * us, 1, 1'000 * us}, {1'640 * us, 1, 1'320 * us}}},
      {"a reader that woke late, then in time",
       {{1'000 * us, 1, 680 * us}, {2'100 * us, 2, 1'460 * us}, {2'101 * us, 1, 2'100 * us}}},
      {"exactly as much time as the bytes take",
       {{1'000 * us, 1, 680 * us}, {1'640 * us, 2, 1'000 * us}}},
      {"one us less: not before the byte ahead ended",
       {{1'000 * us, 1, 680 * us}, {1'639 * us, 2, 1'000 * us}}},
      {"lumps faster than a wire never run ahead of the clock",
       {{1'000 * us, 16, -4'120 * us}, {2'000 * us, 16, 1'000 * us}, {3'000 * us, 16, 2'000 * us}}},
  };
  for (const auto& row : rows) {
    INFO(row.source);
    ReadStamp stamp(320 * us);
    for (const auto& read : row.reads) CHECK(stamp.stamp(read.read_ns, read.bytes) == read.t_ns);
  }
}
