// app/screens/bench_screen.cpp
#include "app/screens/bench_screen.h"

#include <algorithm>
#include <utility>

#include "app/screens/far_view.h"
#include "app/screens/findings_strip.h"
#include "app/screens/help_overlay.h"
#include "app/screens/notes_screen.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/keys.h"
#include "app/screens/parts/panel.h"
#include "app/screens/planned_screen.h"
#include "app/screens/rail.h"
#include "app/screens/source_strip.h"
#include "app/screens/wire_screen.h"
#include "app/theme/theme.h"

namespace strumwright::screens {

using theme::Room;

namespace {

constexpr float narrow_findings_height = 32.0F;
constexpr float pinned_bar_height = 28.0F;

struct Layout {
  Box strip, rail, area, findings;
};

Layout layout_for(const Box& window) {
  const auto room = theme::room_for(window.w);
  const float top = strip_height(room);
  const float left = rail_width(room);
  const float foot = room == Room::narrow ? narrow_findings_height : theme::findings_height;
  const float margin = room == Room::narrow ? 8.0F : theme::gap;
  const float middle = window.h - top - foot;
  return {{0, 0, window.w, top},
          {0, top, left, middle},
          {left + margin, top + margin, window.w - left - 2.0F * margin, middle - 2.0F * margin},
          {0, window.h - foot, window.w, foot}};
}

void go_to(ViewState& view, Area area) {
  if (view.area == area) return;
  view.area = area;
  view.page = 0;
}

/// Ctrl with plus, minus and 0.
void take_size_keys(const Input& input, ViewState& view) {
  for (const auto& press : input.keys) {
    if (!press.control) continue;
    if (press.code == key::plus) view.scale_percent = theme::larger_scale(view.scale_percent);
    if (press.code == key::minus) view.scale_percent = theme::smaller_scale(view.scale_percent);
    if (press.code == '0') view.scale_percent = 100;
  }
}

void take_view_keys(const Input& input, ViewState& view) {
  const auto& keys = input.keys;
  for (const auto& row : areas()) {
    if (presses(keys, '1' + static_cast<int>(row.area)) > 0) go_to(view, row.area);
  }
  view.page = std::max(0, view.page + presses(keys, key::page_down) - presses(keys, key::page_up));
  if (presses(keys, 'F') % 2 == 1) view.far = !view.far;
  if (presses(keys, 'L') % 2 == 1) view.light = !view.light;
  if (presses(keys, key::f1) % 2 == 1) view.help = !view.help;
  if (presses(keys, 'S') % 2 == 1) view.sources = !view.sources;
  if (presses(keys, key::end) + presses(keys, key::f5) > 0) {
    view.moment.pinned_ns.reset();
    view.picked.reset();
    view.hear.chosen = 0;
  }
}

Intents take_bench_keys(const Input& input, const Snapshot& snapshot, ViewState& view) {
  Intents intents;
  if (snapshot.can_record()) {
    intents.keep = presses(input.keys, 'K') > 0;
    intents.toggle_recording = presses(input.keys, 'R') % 2 == 1;
    intents.mark = presses(input.keys, 'M') > 0;
  }
  if (intents.mark) view.findings.mark = {snapshot.clock_ns, view.seconds};
  if (presses(input.keys, key::escape) > 0) {
    // Silence comes first: Esc releases whatever else it closes.
    intents.release_all = true;
    if (!view.help && !view.sources) view.hear.chosen = 0;
    view.help = false;
    view.sources = false;
  }
  return intents;
}

/// Cards over everything else: keys, sources. Under them nothing can be clicked.
Intents draw_cards(Canvas& canvas, const Snapshot& snapshot, ViewState& view) {
  Intents intents;
  if (view.sources) {
    const auto answer = draw_source_list(canvas, canvas.input().window, snapshot.sources);
    intents.start_simulation = answer.simulate;
    intents.open_source = answer.open;
    if (answer.closed) view.sources = false;
  }
  if (view.help && draw_help(canvas, canvas.input().window)) view.help = false;
  return intents;
}

/// What an area asked for that concerns the view alone.
void follow_in_view(const Intents& intents, ViewState& view) {
  if (intents.go) go_to(view, *intents.go);
  if (intents.pin_ns) view.moment.pinned_ns = intents.pin_ns;
  if (intents.open_finding) {
    view.picked = intents.open_finding;
    view.moment.pinned_ns = intents.open_finding->t_ns;
    go_to(view, Area::notes);
  }
  if (!intents.follow) return;
  view.moment.pinned_ns.reset();
  view.picked.reset();
  view.hear.chosen = 0;
}

/// Over an area that shows a pinned instant: which one, and the way back.
bool draw_pinned_bar(Canvas& canvas, const Box& bar, std::int64_t pinned_ns) {
  canvas.set_home(bar);
  canvas.fill(bar, canvas.palette().raised, theme::radius);
  canvas.fill(bar.left(3.0F), canvas.palette().brass, 1.5F);
  const auto when = time_text(pinned_ns);
  const float wide = button_width(canvas, "Follow", "End");
  const Box button{bar.right() - wide - 3.0F, bar.y + 3.0F, wide, bar.h - 6.0F};
  canvas.first_fit(
      {bar.x + 14.0F, bar.y + 19.0F}, bar.w - wide - 30.0F,
      {"Frozen at " + when + ": Hear, Notes and Wire show this moment", "Frozen at " + when, when},
      strong(canvas));
  return draw_button(canvas, "follow", button, "Follow", "End");
}

Intents draw_area(Canvas& canvas, const Box& box, const Snapshot& snapshot, ViewState& view) {
  switch (view.area) {
    case Area::hear:
      return draw_hear(canvas, box, snapshot, view.moment, view.hear, view.page);
    case Area::notes:
      return draw_notes(canvas, box, snapshot, view.moment, view.picked, view.book, view.notes,
                        view.page);
    case Area::wire:
      return draw_wire(canvas, box, snapshot, view.moment, view.book, view.wire, view.page);
    default:
      draw_planned(canvas, box, view.area);
      return {};
  }
}

Intents draw_frozen_or_live(Canvas& canvas, Box box, const Snapshot& snapshot, ViewState& view) {
  Intents intents;
  const bool has_moment = view.area <= Area::wire;
  if (has_moment && view.moment.pinned()) {
    intents.follow = draw_pinned_bar(canvas, box.top(pinned_bar_height), *view.moment.pinned_ns);
    box = box.without_top(pinned_bar_height + 8.0F);
  }
  intents.add(draw_area(canvas, box, snapshot, view));
  return intents;
}

Intents draw_whole(Canvas& canvas, const Snapshot& snapshot, ViewState& view) {
  const auto at = layout_for(canvas.input().window);
  Intents intents = draw_source_strip(canvas, at.strip, snapshot);
  intents.add(draw_frozen_or_live(canvas, at.area, snapshot, view));
  const RailState rail{view.area, snapshot.now.errors, view.scale_percent};
  if (const auto area = draw_rail(canvas, at.rail, canvas.room(), rail)) intents.go = area;
  intents.add(draw_findings_strip(canvas, at.findings, snapshot, view.book.groups(), view.findings,
                                  view.seconds));
  return intents;
}

/// The bench with a card over it, if one is open: then only the card can be clicked.
Intents draw_with_cards(Canvas& canvas, const Snapshot& snapshot, ViewState& view) {
  const bool covered = view.sources || view.help;
  if (covered) canvas.cover(true);
  Intents intents = draw_whole(canvas, snapshot, view);
  canvas.cover(false);
  if (covered) return draw_cards(canvas, snapshot, view);
  if (intents.choose_source) view.sources = true;
  return intents;
}

/// Choices of another session mean nothing in this one.
void notice_session(const Snapshot& snapshot, ViewState& view) {
  if (view.epoch == snapshot.now.epoch) return;
  view.epoch = snapshot.now.epoch;
  view.moment = {};
  view.picked.reset();
  view.hear = {};
  view.notes = {};
  view.wire = {};
  view.book = {};
  view.findings = {};
}

}  // namespace

Intents draw_bench(Canvas& canvas, const Snapshot& snapshot, ViewState& view) {
  notice_session(snapshot, view);
  view.book.read(snapshot.history, snapshot.now, view.picked);
  const auto& input = canvas.input();
  const int scale_before = view.scale_percent;
  const bool far_before = view.far;
  const bool light_before = view.light;
  take_size_keys(input, view);
  take_view_keys(input, view);
  Intents intents = take_bench_keys(input, snapshot, view);
  // Fonts and colours are changed between frames only: this one is drawn as it was begun.
  if (far_before && canvas.theme().fonts.far_word() != nullptr) {
    if (draw_far_view(canvas, input.window, snapshot)) view.far = false;
  } else {
    intents.add(draw_with_cards(canvas, snapshot, view));
  }
  follow_in_view(intents, view);
  const bool changed = view.scale_percent != scale_before || view.far != far_before ||
                       view.light != light_before || input.pressed || !input.keys.empty();
  if (changed) canvas.keep_moving();
  return intents;
}

}  // namespace strumwright::screens
