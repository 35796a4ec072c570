// tests/app/screens/wire_time_test.cpp
#include "app/screens/wire_time.h"

#include "tests/app/screens/headless_support.h"
#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

constexpr std::int64_t ms = 1'000'000;

RibbonRows rows_of_four() {
  RibbonRows rows;
  rows.plot = {100.0F, 50.0F, 1'000.0F, 264.0F};
  rows.fit_width = 1'000.0F;
  rows.pitch = 66.0F;
  rows.count = 4;
  return rows;
}

/// A ribbon of four rows of 16 ms over a session that began at 0.
struct Ribbon {
  FilledSession session = silent_session();
  Headless bench{1280.0F, 800.0F, 1.0F};
  WireView view;
  Moment moment;
  RibbonRows rows = rows_of_four();
  std::int64_t clock_ns = 10'000 * ms;

  Ribbon() {
    session.now->first_byte_ns = 0;
    session.now->last_byte_ns = 10'000 * ms;
  }
  std::int64_t from() {
    rows.row_ns = row_ns_for(rows.fit_width, view.zoom);
    const Snapshot snapshot{*session.now, *session.history, clock_ns, true};
    bench.frame(
        [&](Canvas& canvas) { place_ribbon(canvas, rows.plot, snapshot, moment, rows, view); });
    return rows.from_ns;
  }
  void strum(std::int64_t t_ns) {
    auto& stroke = session.now->stroke;
    ++stroke.serial;
    stroke.start_ns = t_ns;
    session.now->last_byte_ns = t_ns + 40 * ms;
  }
};

}  // namespace

TEST_CASE("a row has 16 ms where its bytes can be read, else less; zoom doubles and halves it") {
  CHECK(row_ns_for(1'000.0F, 0) == 16 * ms);
  CHECK(row_ns_for(875.0F, 0) == 16 * ms);
  CHECK(row_ns_for(874.0F, 0) == 8 * ms);
  CHECK(row_ns_for(300.0F, 0) == 4 * ms);
  CHECK(row_ns_for(5'000.0F, 0) == 16 * ms);
  CHECK(row_ns_for(1'000.0F, 2) == 64 * ms);
  CHECK(row_ns_for(1'000.0F, -1) == 8 * ms);
  CHECK(row_ns_for(1'000.0F, 99) == most_row_ns);
  CHECK(row_ns_for(1'000.0F, -99) == least_row_ns);
}

TEST_CASE("a time has a row and a place in it, and a place has its time") {
  auto rows = rows_of_four();
  rows.from_ns = 100 * ms;
  CHECK(rows.byte_width() == doctest::Approx(20.0F));
  CHECK(rows.row_of(100 * ms) == 0);
  CHECK(rows.row_of(116 * ms - 1) == 0);
  CHECK(rows.row_of(116 * ms) == 1);
  CHECK(rows.row_of(100 * ms - 1) < 0);
  CHECK(rows.x_of(124 * ms) == doctest::Approx(600.0F));
  CHECK(rows.when({600.0F, rows.y_of(1)}) == 124 * ms);
  CHECK(rows.when({-10.0F, 0.0F}) == 100 * ms);
}

TEST_CASE("the ribbon follows strokes, not the releases that come after them") {
  Ribbon ribbon;
  ribbon.strum(10'000 * ms);
  CHECK(ribbon.from() == 9'999 * ms);
  ribbon.session.now->last_byte_ns = 10'500 * ms;
  ribbon.clock_ns = 10'500 * ms;
  CHECK(ribbon.from() == 9'999 * ms);
  ribbon.strum(10'700 * ms);
  ribbon.clock_ns = 10'750 * ms;
  CHECK(ribbon.from() == 10'699 * ms);
}

TEST_CASE("the page turns at most every 0.4 s, and the next turn is asked for") {
  Ribbon ribbon;
  ribbon.strum(10'000 * ms);
  ribbon.from();
  ribbon.strum(10'200 * ms);
  ribbon.clock_ns = 10'399 * ms;
  CHECK(ribbon.from() == 9'999 * ms);
  CHECK(ribbon.bench.drawn.again_in_s == doctest::Approx(0.001));
  ribbon.clock_ns = 10'400 * ms;
  CHECK(ribbon.from() == 10'199 * ms);
}

TEST_CASE("bytes that are no strokes are followed page by page") {
  Ribbon ribbon;
  ribbon.session.now->last_byte_ns = 130 * ms;
  CHECK(ribbon.from() == 127 * ms);  // the third page of 64 ms, less the air before it
  ribbon.session.now->last_byte_ns = 191 * ms;
  ribbon.clock_ns += 1'000 * ms;
  CHECK(ribbon.from() == 127 * ms);
  ribbon.session.now->last_byte_ns = 192 * ms;
  CHECK(ribbon.from() == 191 * ms);
}

TEST_CASE("a frozen moment in sight leaves the ribbon, another comes with the rows before it") {
  Ribbon ribbon;
  ribbon.strum(10'000 * ms);
  ribbon.from();
  ribbon.moment.pinned_ns = 10'030 * ms;
  CHECK(ribbon.from() == 9'999 * ms);
  ribbon.strum(11'000 * ms);
  ribbon.clock_ns = 11'500 * ms;
  CHECK(ribbon.from() == 9'999 * ms);
  ribbon.moment.pinned_ns = 5'000 * ms;
  CHECK(ribbon.from() == 5'000 * ms - 36 * ms);
  ribbon.moment.pinned_ns.reset();
  CHECK(ribbon.from() == 10'999 * ms);
}

TEST_CASE("the wheel zooms a standing ribbon about the pointer") {
  Ribbon ribbon;
  ribbon.view.from_ns = 1'000 * ms;
  ribbon.from();
  const Point pointer{600.0F, ribbon.rows.y_of(2)};
  const auto under_ns = ribbon.rows.when(pointer);
  ribbon.bench.input.pointer = pointer;
  ribbon.bench.input.wheel = -1.0F;
  ribbon.from();
  CHECK(ribbon.rows.row_ns == 32 * ms);
  CHECK(ribbon.rows.when(pointer) == under_ns);
}

TEST_CASE("Left and Right lead from stroke to stroke") {
  auto session = silent_session();
  for (const std::int64_t t_ns : {1'000 * ms, 2'000 * ms, 3'000 * ms}) {
    engine::StrokeAt stroke;
    stroke.start_ns = t_ns;
    stroke.end_ns = t_ns + 60 * ms;
    session.history->strokes.append(stroke);
    session.now->stroke = stroke;
  }
  Headless bench(1280.0F, 800.0F, 1.0F);
  const auto step = [&](int code, std::optional<std::int64_t> from_ns) {
    bench.input.keys = {{code}};
    std::optional<std::int64_t> found;
    bench.frame([&](Canvas& canvas) {
      found = step_to_stroke(canvas, session.snapshot(), Moment{from_ns});
    });
    return found;
  };
  CHECK(step(key::left, std::nullopt) == 2'000 * ms);
  CHECK(step(key::left, 2'000 * ms) == 1'000 * ms);
  CHECK(step(key::left, 1'000 * ms) == std::nullopt);
  CHECK(step(key::left, 2'030 * ms) == 2'000 * ms);
  CHECK(step(key::right, 1'000 * ms) == 2'000 * ms);
  CHECK(step(key::right, 2'030 * ms) == 3'000 * ms);
  CHECK(step(key::right, 3'000 * ms) == std::nullopt);
  CHECK(step(key::up, 2'000 * ms) == std::nullopt);
}
