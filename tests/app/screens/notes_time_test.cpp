// tests/app/screens/notes_time_test.cpp
#include "app/screens/notes_time.h"

#include "tests/app/screens/headless_support.h"
#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright::screens;

namespace {

constexpr std::int64_t ms = 1'000'000;
constexpr Box plot{100.0F, 100.0F, 800.0F, 300.0F};

/// A session whose last byte came at 10 s.
struct Lanes {
  FilledSession session = silent_session();
  Headless bench{1280.0F, 800.0F, 1.0F};
  NotesView view;
  Moment moment;
  std::int64_t clock_ns = 10'000 * ms;

  Lanes() { session.now->last_byte_ns = 10'000 * ms; }
  Snapshot snapshot(bool running = true) const {
    return {*session.now, *session.history, clock_ns, running};
  }
  TimeScale scale() {
    TimeScale made;
    bench.frame(
        [&](Canvas& canvas) { made = lanes_scale(canvas, plot, snapshot(), moment, view); });
    return made;
  }
};

}  // namespace

TEST_CASE("following rests 1 s after the last byte, and steps on while notes are down") {
  Lanes lanes;
  CHECK(followed_ns(lanes.snapshot()) == 10'000 * ms);
  lanes.clock_ns = 11'000 * ms;
  CHECK(followed_ns(lanes.snapshot()) == 11'000 * ms);
  lanes.clock_ns = 14'800 * ms;
  CHECK(followed_ns(lanes.snapshot()) == 11'000 * ms);
  lanes.session.now->held_count = 1;
  CHECK(followed_ns(lanes.snapshot()) == 14'500 * ms);
  CHECK(followed_ns(lanes.snapshot(false)) == 11'000 * ms);
}

TEST_CASE("frames are asked for only while something moves") {
  Lanes lanes;
  lanes.scale();
  CHECK(lanes.bench.drawn.moving);
  lanes.clock_ns = 14'800 * ms;
  lanes.scale();
  CHECK(!lanes.bench.drawn.moving);
  CHECK(lanes.bench.drawn.again_in_s > 1e6);
  lanes.session.now->held_count = 1;
  lanes.scale();
  CHECK(!lanes.bench.drawn.moving);
  CHECK(lanes.bench.drawn.again_in_s == doctest::Approx(0.5));
}

TEST_CASE("a moment in sight leaves the stretch where it is, one out of sight is brought in") {
  Lanes lanes;
  const auto before = lanes.scale();
  lanes.moment.pinned_ns = 9'500 * ms;
  lanes.clock_ns = 10'400 * ms;
  CHECK(lanes.scale().right_ns == before.right_ns + 400 * ms);
  const auto frozen = lanes.scale();
  lanes.clock_ns = 10'900 * ms;
  CHECK(lanes.scale().right_ns == frozen.right_ns);
  lanes.moment.pinned_ns = 3'000 * ms;
  const auto far = lanes.scale();
  CHECK(far.shows(3'000 * ms));
  CHECK(far.right_ns - far.left_ns == lanes_span_ns);
  lanes.moment.pinned_ns.reset();
  CHECK(lanes.scale().shows(10'900 * ms));
}

TEST_CASE("the wheel zooms about the pointer, within its limits") {
  Lanes lanes;
  lanes.moment.pinned_ns = 9'500 * ms;
  const auto before = lanes.scale();
  lanes.bench.input.pointer = {300.0F, 200.0F};
  lanes.bench.input.wheel = 2.0F;
  const auto nearer = lanes.scale();
  CHECK(nearer.right_ns - nearer.left_ns == doctest::Approx(2e9 * 0.64).epsilon(1e-6));
  CHECK(nearer.when(300.0F) == doctest::Approx(before.when(300.0F)).epsilon(1e-6));
  lanes.bench.input.wheel = 200.0F;
  lanes.scale();
  CHECK(lanes.view.span_ns == least_lanes_span_ns);
  lanes.bench.input.wheel = -200.0F;
  lanes.scale();
  CHECK(lanes.view.span_ns == most_lanes_span_ns);
  lanes.bench.input.pointer = {50.0F, 200.0F};
  lanes.bench.input.wheel = 3.0F;
  lanes.scale();
  CHECK(lanes.view.span_ns == most_lanes_span_ns);
}

TEST_CASE("a press without a move is a time, a drag moves the stretch, End follows again") {
  Lanes lanes;
  auto& input = lanes.bench.input;
  std::optional<std::int64_t> clicked;
  const auto frame = [&](bool pressed, bool down, float x) {
    input.pointer = {x, 200.0F};
    input.pressed = pressed;
    input.down = down;
    input.released = !down;
    const auto scale = lanes.scale();
    lanes.bench.frame([&](Canvas& canvas) {
      clicked = take_lanes_pointer(canvas, plot, scale, pressed, lanes.view);
    });
    return scale;
  };
  const auto before = frame(true, true, 500.0F);
  CHECK(!clicked);
  frame(false, false, 502.0F);
  CHECK(clicked == before.when(502.0F));
  frame(true, true, 500.0F);
  frame(false, true, 700.0F);
  frame(false, false, 700.0F);
  CHECK(!clicked);
  // 200 of 800 units to the right: a quarter of the stretch into the past.
  CHECK(lanes.view.right_ns == before.right_ns - lanes_span_ns / 4);
  input.keys = {{key::end}};
  CHECK(lanes.scale().right_ns == before.right_ns);
}
