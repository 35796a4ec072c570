// tests/app/screens/far_view_test.cpp
#include "app/screens/far_view.h"

#include <algorithm>
#include <initializer_list>

#include "tests/app/screens/headless_support.h"
#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>
#include <imgui.h>

using namespace strumwright;
using namespace strumwright::screens;

TEST_CASE("the far view fits its window, says what is simulated and its least word is readable") {
  struct Row {
    int width, height;
    float scale;
  };
  for (const auto& row : {Row{1280, 800, 1.0F}, Row{900, 600, 1.0F}, Row{1280, 800, 2.5F},
                          Row{3840, 2160, 2.5F}, Row{500, 400, 1.0F}}) {
    INFO(row.width, " x ", row.height, " at ", row.scale);
    Headless bench(static_cast<float>(row.width), static_cast<float>(row.height), row.scale);
    const auto sizes = far_sizes(row.width, row.height, row.scale);
    bench.theme.fonts = theme::Fonts::build(*ImGui::GetIO().Fonts, row.scale, sizes);
    auto session = busy_session();
    for (const bool simulated : {false, true}) {
      session.now->simulated = simulated;
      auto& drawn = bench.frame(
          [&](Canvas& canvas) { draw_far_view(canvas, bench.window(), session.snapshot()); });
      CHECK(drawn.flaws.empty());
      CHECK(overlapping_texts(drawn).empty());
      const bool says = std::any_of(drawn.texts.begin(), drawn.texts.end(),
                                    [](const auto& text) { return text.text == "SIMULATED"; });
      CHECK(says == simulated);
    }
  }
  // Ours: 20 arcminutes at 3 m and 96 dpi are 66 pixels of capitals, an em of 88.
  CHECK(far_sizes(1280, 800, 1.0F).word == doctest::Approx(88.0F));
}
