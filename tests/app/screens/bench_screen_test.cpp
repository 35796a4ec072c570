// tests/app/screens/bench_screen_test.cpp
#include "app/screens/bench_screen.h"

#include <algorithm>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "tests/app/screens/headless_support.h"
#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

struct Size {
  float width, height;
  int percent;
};

// The sizes that the look is drawn for, the smallest allowed, and both ends of the scale.
constexpr Size sizes[] = {{1280, 800, 100}, {900, 600, 100},   {900, 600, 80},    {1100, 700, 100},
                          {1279, 801, 125}, {1280, 800, 200},  {1280, 800, 250},  {900, 600, 250},
                          {900, 600, 175},  {1920, 1080, 150}, {3840, 2160, 100}, {3840, 2160, 250},
                          {700, 500, 100},  {1280, 500, 100},  {500, 900, 100}};

std::string described(const Size& size) {
  return std::to_string(static_cast<int>(size.width)) + "x" +
         std::to_string(static_cast<int>(size.height)) + " at " + std::to_string(size.percent) +
         " %";
}

std::string joined(const std::vector<std::string>& lines) {
  std::string all;
  for (const auto& line : lines) all += line + "\n";
  return all;
}

void check_frame(Headless& bench, const Snapshot& snapshot, ViewState& view) {
  auto& drawn = bench.frame([&](Canvas& canvas) { draw_bench(canvas, snapshot, view); });
  const auto faults = layout_faults(drawn, bench.window());
  CHECK(faults == "");
}

}  // namespace

TEST_CASE("no text is cut or overlapped and no target overlaps another, at any size and scale") {
  for (const auto& size : sizes) {
    INFO(described(size));
    Headless bench(size.width, size.height, static_cast<float>(size.percent) / 100.0F);
    for (const bool silent : {false, true}) {
      const auto session = silent ? silent_session() : busy_session();
      for (const auto& row : areas()) {
        INFO(row.name, silent ? " silent" : " busy");
        for (int page = 0; page < 4; ++page) {
          ViewState view;
          view.epoch = 1;
          view.area = row.area;
          view.scale_percent = size.percent;
          view.page = page;
          check_frame(bench, session.snapshot(), view);
          if (bench.input.window.w >= 700.0F) break;
        }
      }
    }
  }
}

TEST_CASE("text from outside never breaks the layout") {
  for (const auto& size : sizes) {
    INFO(described(size));
    Headless bench(size.width, size.height, static_cast<float>(size.percent) / 100.0F);
    for (const auto& name : hostile_names()) {
      INFO(name);
      for (const bool simulated : {false, true}) {
        auto session = busy_session();
        session.now->source_name.set(name);
        session.now->source_detail.set(name);
        session.now->notice.set(name);
        session.now->notice_serial = 1;
        session.now->simulated = simulated;
        session.now->recording = true;
        ViewState view;
        view.epoch = 1;
        check_frame(bench, session.snapshot(), view);
        // Wherever a name stands, a simulated source says so in full.
        CHECK(has_text(bench.drawn, "SIMULATED") == simulated);
      }
    }
  }
}

TEST_CASE("every state of the link, the grade and the moment has a layout") {
  for (const auto& size : sizes) {
    INFO(described(size));
    Headless bench(size.width, size.height, static_cast<float>(size.percent) / 100.0F);
    for (const auto link :
         {engine::Link::none, engine::Link::linked, engine::Link::gone, engine::Link::ended}) {
      for (const auto grade :
           {wire::Grade::wire, wire::Grade::message, wire::Grade::batched, wire::Grade::none}) {
        auto session = busy_session();
        session.now->link = link;
        session.now->grade = grade;
        session.now->raw = grade == wire::Grade::wire;
        session.now->load_now = grade == wire::Grade::none ? -1.0 : 0.4;
        session.now->stroke.timed = wire::can_time(grade);
        ViewState view;
        view.epoch = 1;
        view.moment.pinned_ns = session.now->t_ns;
        check_frame(bench, session.snapshot(), view);
      }
    }
  }
}

TEST_CASE("an older strum with a ghost under it has a layout, and so has a file") {
  for (const auto& size : sizes) {
    INFO(described(size));
    Headless bench(size.width, size.height, static_cast<float>(size.percent) / 100.0F);
    for (const bool file : {false, true}) {
      auto session = busy_session();
      session.now->from_file = file;
      const auto strokes = session.history->strokes.view();
      REQUIRE(strokes.end() > strokes.first() + 1);
      for (int page = 0; page < 4; ++page) {
        ViewState view;
        view.epoch = 1;
        view.page = page;
        view.hear.chosen = strokes[strokes.first()].serial;
        view.hear.ghost = strokes[strokes.first() + 1];
        view.findings.mark = {session.now->t_ns, 0.0};
        check_frame(bench, session.snapshot(), view);
        if (page == 0) CHECK(has_text(bench.drawn, "; End follows"));
        if (bench.input.window.w >= 700.0F) break;
      }
    }
  }
}

TEST_CASE("the cards of keys and sources fit and take all clicks while they are open") {
  for (const auto& size : sizes) {
    INFO(described(size));
    Headless bench(size.width, size.height, static_cast<float>(size.percent) / 100.0F);
    const auto session = busy_session();
    std::vector<SourceChoice> choices;
    for (const auto& name : hostile_names()) choices.push_back({name, name, name});
    for (const bool sources : {false, true}) {
      ViewState view;
      view.epoch = 1;
      view.help = !sources;
      view.sources = sources;
      auto snapshot = session.snapshot();
      snapshot.sources = choices;
      auto& drawn = bench.frame([&](Canvas& canvas) { draw_bench(canvas, snapshot, view); });
      CHECK(joined(drawn.flaws) == "");
      CHECK(find_target(drawn, "keep") == nullptr);
      CHECK(find_target(drawn, sources ? "source.simulated" : "help") != nullptr);
    }
  }
}

TEST_CASE("keys lead to areas, sizes, the far view and back, and ask the bench for its part") {
  Headless bench(1280, 800, 1.0F);
  const auto session = busy_session();
  ViewState view;
  view.epoch = 1;
  const auto press = [&](KeyPress key) {
    bench.input.keys = {key};
    Intents intents;
    bench.frame([&](Canvas& canvas) { intents = draw_bench(canvas, session.snapshot(), view); });
    return intents;
  };
  press({'3'});
  CHECK(view.area == Area::wire);
  press({key::plus, true});
  CHECK(view.scale_percent == 110);
  press({'0', true});
  CHECK(view.scale_percent == 100);
  CHECK(view.area == Area::wire);
  press({'F'});
  CHECK(view.far);
  press({'F'});
  CHECK(!view.far);
  press({key::f1});
  CHECK(view.help);
  CHECK(press({key::escape}).release_all);
  CHECK(!view.help);
  CHECK(press({'K'}).keep);
  CHECK(press({'R'}).toggle_recording);
  CHECK(press({'M'}).mark);
  CHECK(!press({'K', true}).keep);
  view.moment.pinned_ns = 5;
  press({key::end});
  CHECK(!view.moment.pinned());
}

TEST_CASE("a file offers nothing to keep, record or mark, by click or by key") {
  Headless bench(1280, 800, 1.0F);
  auto session = busy_session();
  ViewState view;
  view.epoch = 1;
  view.seconds = 10.0;
  Intents intents;
  const auto draw = [&] {
    bench.input.keys = {{'K'}, {'R'}, {'M'}};
    bench.frame([&](Canvas& canvas) { intents = draw_bench(canvas, session.snapshot(), view); });
  };
  draw();
  CHECK(find_target(bench.drawn, "keep") != nullptr);
  CHECK(find_target(bench.drawn, "record") != nullptr);
  CHECK((intents.keep && intents.toggle_recording && intents.mark));
  CHECK(has_text(bench.drawn, "Marked at "));
  session.now->from_file = true;
  view.findings = {};
  draw();
  CHECK(find_target(bench.drawn, "keep") == nullptr);
  CHECK(find_target(bench.drawn, "record") == nullptr);
  CHECK(!(intents.keep || intents.toggle_recording || intents.mark));
  CHECK(!has_text(bench.drawn, "Marked at "));
}

TEST_CASE("a click on the findings strip freezes the moment and opens Notes") {
  Headless bench(1280, 800, 1.0F);
  const auto session = busy_session();
  ViewState view;
  view.epoch = 1;
  const auto draw = [&] {
    bench.frame([&](Canvas& canvas) { draw_bench(canvas, session.snapshot(), view); });
  };
  draw();
  const auto* strip = find_target(bench.drawn, "finding");
  REQUIRE(strip != nullptr);
  bench.input.pointer = strip->box.centre();
  bench.input.pressed = true;
  draw();
  CHECK(view.area == Area::notes);
  // The swapped release goes on: the note that it left is down. So does the hanging note, newer
  // is the first.
  CHECK(view.moment.pinned_ns == session.now->findings[0].t_ns);
}

TEST_CASE("choices of one session do not outlive it") {
  Headless bench(1280, 800, 1.0F);
  auto session = busy_session();
  ViewState view;
  view.epoch = 1;
  view.moment.pinned_ns = 5;
  view.hear.chosen = 3;
  session.now->epoch = 2;
  bench.frame([&](Canvas& canvas) { draw_bench(canvas, session.snapshot(), view); });
  CHECK(!view.moment.pinned());
  CHECK(view.hear.chosen == 0);
}
