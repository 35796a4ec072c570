// tests/app/screens/area_bench.h
#pragma once

#include "tests/app/screens/headless_support.h"
#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

#include "app/screens/area.h"
#include "app/screens/bench_screen.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/view_state.h"

namespace strumwright::screens {

struct Size {
  float width, height, scale;
};
inline constexpr Size sizes[] = {
    {1280, 800, 1.0F}, {900, 600, 1.0F}, {900, 600, 0.8F},  {1280, 800, 2.0F}, {1280, 800, 2.5F},
    {900, 600, 2.5F},  {700, 500, 1.0F}, {1280, 500, 1.0F}, {500, 900, 1.0F},  {3840, 2160, 1.0F}};

/// The whole bench in one area, busy, with keys and clicks.
struct AreaBench {
  Area area;
  FilledSession session = busy_session();
  Headless bench;
  ViewState view;

  explicit AreaBench(Area shown, const Size& size = sizes[0])
      : area(shown), bench(size.width, size.height, size.scale) {
    forget();
  }
  /// As if the area had just been opened.
  void forget() {
    view = {};
    view.epoch = 1;
    view.area = area;
  }
  Intents draw() {
    Intents intents;
    bench.frame([&](Canvas& canvas) { intents = draw_bench(canvas, session.snapshot(), view); });
    bench.input.keys.clear();
    bench.input.pressed = false;
    return intents;
  }
  Intents press(int code) {
    bench.input.keys = {{code}};
    return draw();
  }
  Intents click(const char* id) {
    draw();
    const auto* target = find_target(bench.drawn, id);
    REQUIRE_MESSAGE(target != nullptr, id);
    bench.input.pointer = target->box.centre();
    bench.input.pressed = true;
    return draw();
  }
};

}  // namespace strumwright::screens
