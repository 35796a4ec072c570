// tests/app/screens/strokes_test.cpp
#include "app/screens/strokes.h"

#include <vector>

#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

#include "core/strum/stroke.h"

using namespace strumwright;
using namespace strumwright::screens;

namespace {

std::vector<std::uint64_t> serials(const std::vector<engine::StrokeNow>& strokes) {
  std::vector<std::uint64_t> found;
  for (const auto& stroke : strokes) found.push_back(stroke.serial);
  return found;
}

using Serials = std::vector<std::uint64_t>;

}  // namespace

TEST_CASE("strums are listed oldest first, the newest ones only, two notes are none") {
  FilledSession session;
  session.add_strum(40, 5, 4'000'000, true, false);
  session.add_strum(40, 2, 4'000'000, true, false);
  session.add_strum(40, 3, 4'000'000, true, false);
  session.add_strum(40, 9, 4'000'000, false, false);
  CHECK(serials(last_strums(session.snapshot(), {}, 32)) == Serials{1, 3, 4});
  CHECK(serials(last_strums(session.snapshot(), {}, 2)) == Serials{3, 4});
}

TEST_CASE("doubles do not make a strum") {
  FilledSession session;
  session.add_strum(40, 2, 4'000'000, true, true);
  REQUIRE(session.now->stroke.tooth_count == 3);
  CHECK(!is_strum(session.now->stroke));
}

TEST_CASE("the stroke that runs is the last one, once") {
  FilledSession session;
  session.add_strum(40, 5, 4'000'000, true, false);
  CHECK(serials(last_strums(session.snapshot(), {}, 32)) == Serials{1});
  session.now->stroke.serial = 2;
  session.now->stroke.final = false;
  CHECK(serials(last_strums(session.snapshot(), {}, 32)) == Serials{1, 2});
}

TEST_CASE("at a pinned moment there are only the strums that had begun") {
  FilledSession session;
  session.add_strum(40, 5, 4'000'000, true, false);
  session.add_strum(40, 5, 4'000'000, true, false);
  const auto start_ns = session.now->stroke.start_ns;
  CHECK(serials(last_strums(session.snapshot(), {start_ns}, 32)) == Serials{1, 2});
  CHECK(serials(last_strums(session.snapshot(), {start_ns - 1}, 32)) == Serials{1});
}
