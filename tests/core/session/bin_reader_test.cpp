// tests/core/session/bin_reader_test.cpp
#include "core/session/bin_reader.h"

#include <string>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::session;

TEST_CASE("a binary dump is its bytes at wire speed, without times of its own") {
  std::string text;
  for (int i = 0; i < 150'000; ++i) text += static_cast<char>(i * 7);
  const auto out = read_out(InputKind::bin, text);
  CHECK(out.complaint().empty());
  REQUIRE(out.entries.size() == 3);  // 65,536 bytes at most in one
  CHECK(out.entries[1].t_ns == 65'536LL * 320'000);
  CHECK(out.entries[2].t_ns == 131'072LL * 320'000);
  const auto bytes = out.bytes();
  CHECK(std::string(bytes.begin(), bytes.end()) == text);
  CHECK(out.header.sources[0].raw);
  CHECK(out.header.sources[0].timing == wire::Grade::none);
}

TEST_CASE("an empty binary dump has no entries") {
  const auto out = read_out(InputKind::bin, "");
  CHECK(out.complaint().empty());
  CHECK(out.entries.empty());
}
