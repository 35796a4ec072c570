// tests/app/screens/parts/strum_comb_test.cpp
#include "app/screens/parts/strum_comb.h"

#include <doctest/doctest.h>

#include "core/strum/stroke.h"

using namespace strumwright;
using namespace strumwright::screens;

namespace {

constexpr std::int64_t ms = 1'000'000;

void add(engine::StrokeNow& stroke, std::int64_t t_ns, std::uint8_t note, strum::Role role) {
  auto& tooth = stroke.teeth[stroke.tooth_count++];
  tooth.t_ns = t_ns;
  tooth.note = note;
  tooth.place = note;
  tooth.role = static_cast<std::uint8_t>(role);
}

engine::StrokeNow downward_with_faults() {
  engine::StrokeNow stroke;
  stroke.start_ns = 100 * ms;
  add(stroke, 100 * ms, 67, strum::Role::step);
  add(stroke, 104 * ms, 62, strum::Role::early);
  add(stroke, 108 * ms, 64, strum::Role::step);
  add(stroke, 120 * ms, 67, strum::Role::doubled);
  return stroke;
}

}  // namespace

TEST_CASE("a comb stands in order of pitch, each tooth from the soonest the wire allows") {
  auto stroke = downward_with_faults();
  auto comb = comb_of(stroke);
  REQUIRE(comb.rows.size() == 3);
  CHECK(comb.rows[0].note == 62);
  CHECK(comb.rows[1].note == 64);
  CHECK(comb.rows[2].note == 67);
  // Source: IEC 63035:2017, 4.1: ten bits at 31,250 baud, three bytes a note, 0.96 ms.
  CHECK(comb.rows[2].soonest_ms == doctest::Approx(0.0));
  CHECK(comb.rows[0].soonest_ms == doctest::Approx(0.96));
  CHECK(comb.rows[1].soonest_ms == doctest::Approx(1.92));
  CHECK(comb.wire_ms == doctest::Approx(1.92));
  stroke.running_status = true;
  comb = comb_of(stroke);
  CHECK(comb.rows[1].soonest_ms == doctest::Approx(1.28));
}

TEST_CASE("a note of another stroke stands on the row of its pitch, or nowhere") {
  const auto comb = comb_of(downward_with_faults());
  CHECK(row_of_note(comb, 62) == std::size_t{0});
  CHECK(row_of_note(comb, 67) == std::size_t{2});
  CHECK(!row_of_note(comb, 63).has_value());
  CHECK(!row_of_note(Comb{}, 62).has_value());
}

TEST_CASE("a double is a second head of its row and no row of its own") {
  const auto comb = comb_of(downward_with_faults());
  CHECK(comb.rows[2].start_ms == doctest::Approx(0.0));
  REQUIRE(comb.rows[2].again_ms.size() == 1);
  CHECK(comb.rows[2].again_ms[0] == doctest::Approx(20.0));
  CHECK(comb.last_start_ms == doctest::Approx(8.0));
  CHECK(comb.longest_ms == doctest::Approx(20.0));
  CHECK(comb.rows[0].early);
  CHECK(!comb.rows[1].early);
}

TEST_CASE("without times a comb shows the order and claims no wire time") {
  auto stroke = downward_with_faults();
  stroke.timed = false;
  const auto comb = comb_of(stroke);
  CHECK(!comb.timed);
  CHECK(comb.wire_ms == 0.0);
  CHECK(comb.rows[2].start_ms == 0.0);
  CHECK(comb.rows[0].start_ms == 1.0);
  CHECK(comb.rows[1].start_ms == 2.0);
}

TEST_CASE("a row is named by its pitch, by its string where an instrument knows it") {
  auto stroke = downward_with_faults();
  CHECK(row_name(comb_of(stroke), comb_of(stroke).rows[0]) == "D4");
  stroke.teeth[1].place = 2;
  const auto comb = comb_of(stroke);
  CHECK(comb.strings);
  CHECK(row_name(comb, comb.rows[0]) == "2 D4");
}

TEST_CASE("a tooth glows for 400 ms") {
  CHECK(glow_of(100 * ms, 100 * ms) == doctest::Approx(1.0));
  CHECK(glow_of(100 * ms, 300 * ms) == doctest::Approx(0.5));
  CHECK(glow_of(100 * ms, 500 * ms - 1) > 0.0);
  CHECK(glow_of(100 * ms, 500 * ms) == 0.0);
  CHECK(glow_of(100 * ms, 99 * ms) == 0.0);
}
