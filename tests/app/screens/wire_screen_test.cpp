// tests/app/screens/wire_screen_test.cpp
#include "app/screens/wire_screen.h"

#include <algorithm>
#include <string>

#include "tests/app/screens/area_bench.h"
#include "tests/app/screens/headless_support.h"
#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

#include "app/screens/bench_screen.h"
#include "app/screens/state_document.h"

using namespace strumwright;
using namespace strumwright::screens;

namespace {

/// The bench in Wire.
struct Wire : AreaBench {
  explicit Wire(const Size& size = sizes[0]) : AreaBench(Area::wire, size) {}
};

}  // namespace

TEST_CASE("Wire has no flaw of layout, raw or whole, with and without times, near and far") {
  for (const auto& size : sizes) {
    CAPTURE(size.width);
    CAPTURE(size.scale);
    Wire wire(size);
    for (const int zoom : {-2, 0, 1, 3, 9}) {
      CAPTURE(zoom);
      for (int variant = 0; variant < 8; ++variant) {
        CAPTURE(variant);
        wire.forget();
        wire.view.wire.zoom = zoom;
        wire.session.now->raw = (variant & 1) == 0;
        wire.session.now->grade = (variant & 2) == 0 ? wire::Grade::byte : wire::Grade::none;
        if ((variant & 4) != 0) {
          wire.view.moment.pinned_ns = wire.session.now->stroke.start_ns + 20'000'000;
        }
        for (int page = 0; page < 4; ++page) {
          wire.view.page = page;
          wire.draw();
          CHECK(layout_faults(wire.bench.drawn, wire.bench.window()) == "");
        }
      }
    }
  }
}

TEST_CASE("any bytes have a layout: stray, cut short, undefined and real-time in every order") {
  for (const auto& size : sizes) {
    CAPTURE(size.width);
    CAPTURE(size.scale);
    Wire wire(size);
    fill_with_noise(wire.session, 4'000);
    wire.view.wire.from_ns = wire.session.now->t_ns - 500'000'000;
    for (int step = 0; step < 12; ++step) {
      *wire.view.wire.from_ns += 23'456'789;
      wire.draw();
      CHECK(layout_faults(wire.bench.drawn, wire.bench.window()) == "");
    }
  }
}

TEST_CASE("before the first byte Wire leads to the sources, and says so of whole messages") {
  Wire wire;
  wire.session = silent_session();
  wire.click("wire.choose-raw");
  CHECK(wire.view.sources);
  wire.view.sources = false;
  wire.session.now->raw = false;
  wire.draw();
  CHECK(has_text(wire.bench.drawn, "whole messages: no raw bytes"));
}

TEST_CASE("a source of whole messages says why no running status is seen, with the way out") {
  Wire wire;
  wire.session.now->raw = false;
  wire.draw();
  CHECK(has_text(wire.bench.drawn, "running status cannot be seen here"));
  wire.click("wire.choose-raw");
  CHECK(wire.view.sources);
  wire.view.sources = false;
  wire.session.now->raw = true;
  wire.draw();
  CHECK(find_target(wire.bench.drawn, "wire.choose-raw") == nullptr);
}

TEST_CASE("a gap is told in ms, a stray run with its reason, a byte under the pointer in words") {
  Wire wire;
  wire.view.wire.from_ns = wire.session.now->stroke.start_ns - 5'000'000;
  wire.draw();
  CHECK(has_text(wire.bench.drawn, "stray: no status in force"));
  CHECK(has_text(wire.bench.drawn, "belongs to nothing"));
  const auto& stroke = wire.session.now->stroke;
  const double gap_ms =
      static_cast<double>(stroke.teeth[1].t_ns - stroke.teeth[0].t_ns) / 1e6 - 0.96;
  auto gap = std::to_string(gap_ms);
  gap.resize(gap.find('.') + 2);
  CHECK(has_text(wire.bench.drawn, gap));
  const auto first = std::find_if(wire.bench.drawn.texts.begin(), wire.bench.drawn.texts.end(),
                                  [](const PlacedText& text) { return text.text == "2C"; });
  REQUIRE(first != wire.bench.drawn.texts.end());
  wire.bench.input.pointer = first->box.centre();
  wire.draw();
  CHECK(has_text(wire.bench.drawn, "note on, channel 1, "));
  CHECK(!has_text(wire.bench.drawn, "belongs to nothing"));
}

TEST_CASE("the zoom buttons double and halve a row, clicks freeze the time under them") {
  Wire wire;
  wire.click("wire.zoom-out");
  wire.draw();
  CHECK(wire.view.wire.shown_row_ns == 32'000'000);
  wire.click("wire.zoom-in");
  wire.draw();
  CHECK(wire.view.wire.shown_row_ns == 16'000'000);
  wire.click("wire.load");
  REQUIRE(wire.view.moment.pinned());
  CHECK(*wire.view.moment.pinned_ns > wire.view.wire.load_from_ns);
  CHECK(*wire.view.moment.pinned_ns < wire.view.wire.load_to_ns);
}

TEST_CASE("the state tells the bytes with their roles, the ghosts and the load") {
  Wire wire;
  wire.view.wire.from_ns = wire.session.now->stroke.start_ns - 1'000'000;
  wire.draw();
  const auto text = state_document(wire.session.snapshot(), wire.view, wire.bench.drawn, {1.0F, 0});
  const auto has = [&](const char* part) { return text.find(part) != std::string::npos; };
  CHECK(has("\"running_status_visible\":true"));
  CHECK(has("\"index\":0,\"hex\":\"90\",\"role\":\"status\""));
  CHECK(has("\"hex\":\"3B\",\"role\":\"stray\""));
  CHECK(has("\"role\":\"real_time\""));
  CHECK(has("\"ghosts\":[{\"before\":3,\"hex\":\"90\"}"));
  CHECK(has("\"load\":[{\"t_ns\":"));
}
