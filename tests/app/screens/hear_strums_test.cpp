// tests/app/screens/hear_strums_test.cpp
#include "app/screens/hear_strums.h"

#include <vector>

#include "tests/app/screens/headless_support.h"
#include <doctest/doctest.h>

#include "core/harmony/chord_kind.h"

using namespace strumwright;
using namespace strumwright::screens;

TEST_CASE("the newest strums are in sight, or the older one that was chosen with those after it") {
  std::vector<engine::StrokeNow> strums(10);
  for (std::size_t i = 0; i < strums.size(); ++i) strums[i].serial = i + 1;
  struct Case {
    std::size_t columns;
    std::uint64_t chosen, first, last;
  };
  const Case cases[] = {{4, 0, 7, 10}, {4, 10, 7, 10}, {4, 7, 7, 10},  {4, 6, 6, 9},
                        {4, 1, 1, 4},  {10, 1, 1, 10}, {12, 1, 1, 10}, {1, 3, 3, 3}};
  for (const auto& c : cases) {
    CAPTURE(c.columns);
    CAPTURE(c.chosen);
    const auto shown = strums_in_sight(strums, c.columns, c.chosen);
    CHECK(shown.front().serial == c.first);
    CHECK(shown.back().serial == c.last);
  }
}

TEST_CASE("no chord's name takes the place of the time, where a cell is wide enough for one") {
  Headless bench(1280, 800, 1.0F);
  const auto kinds = harmony::chord_kinds().size();
  for (std::size_t kind = 0; kind < kinds; ++kind) {
    CAPTURE(kind);
    engine::StrokeNow stroke;
    stroke.serial = 1;
    stroke.start_ns = 83'400'000'000;
    stroke.tooth_count = 1;
    stroke.chord.named = true;
    stroke.chord.best = {1, static_cast<harmony::KindIndex>(kind), 6};
    bench.frame([&](Canvas& canvas) {
      draw_strums_panel(canvas, {0, 0, 1100, 150}, std::span(&stroke, 1), 0);
    });
    CHECK(has_text(bench.drawn, "01:23.4"));
    CHECK(layout_faults(bench.drawn, bench.window()) == "");
  }
}
