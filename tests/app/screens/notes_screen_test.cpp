// tests/app/screens/notes_screen_test.cpp
#include "app/screens/notes_screen.h"

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

/// The bench in Notes.
struct Notes : AreaBench {
  explicit Notes(const Size& size = sizes[0]) : AreaBench(Area::notes, size) {}
};

}  // namespace

TEST_CASE("Notes has no flaw of layout, whatever is picked, explained or zoomed") {
  for (const auto& size : sizes) {
    CAPTURE(size.width);
    CAPTURE(size.scale);
    Notes notes(size);
    for (int variant = 0; variant < 8; ++variant) {
      CAPTURE(variant);
      notes.forget();
      if ((variant & 1) != 0) {
        notes.view.picked = notes.session.now->findings[0];
        notes.view.moment.pinned_ns = notes.view.picked->t_ns;
      }
      notes.view.notes.explain = (variant & 2) != 0;
      if ((variant & 4) != 0) notes.view.notes.span_ns = 60'000'000'000;
      for (int page = 0; page < 4; ++page) {
        notes.view.page = page;
        notes.draw();
        CHECK(layout_faults(notes.bench.drawn, notes.bench.window()) == "");
      }
    }
  }
}

TEST_CASE("before the first note Notes says what to do, and offers the simulated Heron") {
  Notes notes;
  notes.session = silent_session();
  CHECK(notes.click("notes.simulate").start_simulation);
  CHECK(has_text(notes.bench.drawn, "No note has sounded yet."));
  notes.session.now->simulated = true;
  notes.draw();
  CHECK(find_target(notes.bench.drawn, "notes.simulate") == nullptr);
}

TEST_CASE("a click on a finding freezes its moment and tells of it") {
  Notes notes;
  notes.click("finding.2");
  CHECK(notes.view.moment.pinned_ns == notes.session.now->findings[2].t_ns);
  notes.draw();
  CHECK(has_text(notes.bench.drawn, diagnosis::text_of(notes.session.now->findings[2].rule).title));
}

TEST_CASE("W goes to the bytes of the finding, C copies it, E explains it in place") {
  Notes notes;
  CHECK(notes.press('C').copy.value_or("").find("note.swapped-off (error)") == 0);
  CHECK(!notes.view.notes.explain);
  notes.press('E');
  notes.draw();
  CHECK(has_text(notes.bench.drawn, "Means"));
  notes.press('E');
  notes.draw();
  CHECK(!has_text(notes.bench.drawn, "Means"));
  notes.press('W');
  CHECK(notes.view.area == Area::wire);
  CHECK(notes.view.moment.pinned_ns == notes.session.now->findings[0].t_ns);
}

TEST_CASE("without an output there is no button that could do nothing") {
  Notes notes;
  notes.session.can_release = false;
  notes.draw();
  CHECK(find_target(notes.bench.drawn, "release-all") == nullptr);
  CHECK(has_text(notes.bench.drawn, "no output is open to release them on"));
}

TEST_CASE("Release all asks for it, a click into the lanes freezes that time") {
  Notes notes;
  CHECK(notes.click("release-all").release_all);
  notes.click("notes.lanes");
  REQUIRE(notes.view.moment.pinned());
  const auto& lanes = notes.view.notes;
  const auto left_ns = lanes.right_ns.value_or(0) - lanes.span_ns;
  notes.draw();
  CHECK(notes.view.notes.right_ns.has_value());
  CHECK(*notes.view.moment.pinned_ns > left_ns);
}

TEST_CASE("Up and Down go through the kinds by time") {
  Notes notes;
  notes.press(key::down);
  CHECK(notes.view.picked->t_ns == notes.session.now->findings[0].t_ns);
  notes.press(key::down);
  CHECK(notes.view.picked->t_ns == notes.session.now->findings[1].t_ns);
  notes.press(key::down);
  notes.press(key::down);
  CHECK(notes.view.picked->t_ns == notes.session.now->findings[2].t_ns);
  notes.press(key::up);
  CHECK(notes.view.picked->t_ns == notes.session.now->findings[1].t_ns);
}

TEST_CASE("the state tells lanes with their bars, pins and what is held") {
  Notes notes;
  notes.view.notes.span_ns = 60'000'000'000;
  notes.draw();
  const auto text =
      state_document(notes.session.snapshot(), notes.view, notes.bench.drawn, {1.0F, 0});
  const auto has = [&](const char* part) { return text.find(part) != std::string::npos; };
  CHECK(has("\"lanes\":{\"from_ns\":"));
  CHECK(has("\"shape\":\"velocity_zero\""));
  CHECK(has("\"shape\":\"again\""));
  CHECK(has("\"note\":96,\"start_ns\":75800000000,\"end_ns\":84600000000,\"shape\":\"open\""));
  CHECK(has("{\"id\":\"note.swapped-off:0:83300000000:-:1:98\""));
  CHECK(
      has("\"held_shown\":{\"at_ns\":84600000000,\"others\":2,\"named\":[{\"channel\":1,"
          "\"note\":96"));
}
