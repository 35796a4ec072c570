// app/screens/wire_screen.cpp
#include "app/screens/wire_screen.h"

#include <algorithm>
#include <array>
#include <string>

#include "app/engine/history.h"
#include "app/screens/parts/panel.h"
#include "app/screens/wire_figures.h"
#include "app/screens/wire_load.h"
#include "app/screens/wire_page.h"
#include "app/screens/wire_ribbon.h"
#include "app/screens/wire_time.h"
#include "core/diagnosis/figures.h"
#include "core/diagnosis/rule.h"

namespace strumwright::screens {

namespace {

enum class Page : std::uint8_t { ribbon, load, figures, eye };
constexpr std::array<const char*, 4> page_names = {"byte ribbon", "line load", "figures",
                                                   "frame eye"};
/// More bytes than this are counted in the state document, not listed (ours).
constexpr std::size_t bytes_in_state = 2'000;

Intents draw_one_page(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                      const Moment& moment, const std::vector<WireFigure>& figures, WireView& view,
                      int page) {
  switch (static_cast<Page>(page)) {
    case Page::ribbon:
      return draw_ribbon_panel(canvas, box, snapshot, moment, view);
    case Page::load:
      return draw_load_panel(canvas, box, snapshot, moment, view);
    case Page::figures:
      draw_figures_panel(canvas, box, figures);
      break;
    case Page::eye:
      draw_eye_panel(canvas, box);
      break;
  }
  return {};
}

/// Ribbon above; load, figures and, where there is room, the eye side by side below.
Intents draw_all(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                 const std::vector<WireFigure>& figures, WireView& view) {
  const float foot = std::clamp(box.h * 0.33F, 172.0F, 300.0F);
  const float top = box.h - foot - theme::gap;
  const float y = box.y + top + theme::gap;
  Intents intents = draw_ribbon_panel(canvas, box.top(top), snapshot, moment, view);
  const bool eye = canvas.room() == theme::Room::wide;
  const float eye_width = eye ? std::clamp(box.w * 0.22F, 210.0F, 320.0F) + theme::gap : 0.0F;
  const float figures_width = eye ? std::clamp(box.w * 0.33F, 330.0F, 420.0F) : 322.0F;
  const float load_width = box.w - figures_width - eye_width - theme::gap;
  intents.add(draw_load_panel(canvas, {box.x, y, load_width, foot}, snapshot, moment, view));
  const float left = box.x + load_width + theme::gap;
  draw_figures_panel(canvas, {left, y, figures_width, foot}, figures);
  if (!eye) return intents;
  const float eye_left = left + figures_width + theme::gap;
  draw_eye_panel(canvas, {eye_left, y, box.right() - eye_left, foot});
  return intents;
}

Intents draw_empty(Canvas& canvas, const Box& box, const Snapshot& snapshot) {
  Intents intents;
  const char* line = snapshot.now.raw
                         ? "No byte has come yet. Touch a string, or choose another source."
                         : "This source hands over whole messages: no raw bytes.";
  const char* word = snapshot.now.raw ? "Choose a source" : "Choose a raw source";
  intents.choose_source = draw_empty_hint(canvas, box, "Wire", line, "wire.choose-raw", word);
  return intents;
}

void write_bytes(publish::JsonWriter& json, const WirePage& page) {
  json.key("bytes");
  json.begin_array();
  for (std::size_t i = 0; i < std::min(page.bytes.size(), bytes_in_state); ++i) {
    const auto& byte = page.bytes[i];
    json.begin_object();
    json.member("t_ns", byte.t_ns);
    json.member("index", byte.index);
    json.member("hex", diagnosis::hex_text(byte.value));
    json.member("role", to_text(byte.role));
    json.end_object();
  }
  json.end_array();
}

/// Where a status was left out.
void write_ghosts(publish::JsonWriter& json, const WirePage& page) {
  json.key("ghosts");
  json.begin_array();
  for (const auto& message : page.messages) {
    if (!message.runs()) continue;
    const auto& byte = page.bytes[static_cast<std::size_t>(message.first)];
    // The rest of a message that began before the page has no ghost here.
    if (byte.index != message.event.byte()) continue;
    json.begin_object();
    json.member("before", byte.index);
    json.member("hex", diagnosis::hex_text(message.event.code()));
    json.end_object();
  }
  json.end_array();
}

void write_load(publish::JsonWriter& json, const Snapshot& snapshot, const WireView& view) {
  json.key("load");
  json.begin_array();
  const auto columns = snapshot.history.load.view();
  for (auto i = columns.at_or_after(view.load_from_ns); i < columns.end(); ++i) {
    if (columns[i].t_ns >= view.load_to_ns) break;
    if (columns[i].t_ns < view.load_from_ns) continue;
    json.begin_object();
    json.member("t_ns", columns[i].t_ns);
    json.member("bytes", columns[i].bytes);
    json.end_object();
  }
  json.end_array();
}

}  // namespace

Intents draw_wire(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                  const FindingBook& book, WireView& view, int& page) {
  if (snapshot.now.bytes == 0 && snapshot.now.first_byte_ns < 0) {
    return draw_empty(canvas, box, snapshot);
  }
  const auto stepped = step_to_stroke(canvas, snapshot, moment);
  const auto figures = wire_figures(snapshot, book.count(diagnosis::Rule::wire_stray_data));
  Intents intents;
  if (canvas.room() != theme::Room::narrow) {
    intents = draw_all(canvas, box, snapshot, moment, figures, view);
  } else {
    const Box picture = draw_page_hint(canvas, box, page_names, page);
    intents = draw_one_page(canvas, picture, snapshot, moment, figures, view, page);
  }
  if (stepped) {
    intents.pin_ns = stepped;
    // A stroke is shown from its start, as when it was followed.
    view.from_ns = *stepped - view.shown_row_ns / 16;
    view.seen_pin_ns = stepped;
  }
  return intents;
}

void write_wire(publish::JsonWriter& json, const Snapshot& snapshot, const WireView& view) {
  const auto page = read_wire_page(snapshot.history, view.shown_from_ns, view.shown_to_ns);
  json.key("ribbon");
  json.begin_object();
  json.member("from_ns", view.shown_from_ns);
  json.member("to_ns", view.shown_to_ns);
  json.member("row_ns", view.shown_row_ns);
  json.member("byte_count", page.bytes.size());
  json.member("running_status_visible", snapshot.now.raw);
  write_bytes(json, page);
  write_ghosts(json, page);
  json.end_object();
  write_load(json, snapshot, view);
}

}  // namespace strumwright::screens
