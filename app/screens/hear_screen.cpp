// app/screens/hear_screen.cpp
#include "app/screens/hear_screen.h"

#include <algorithm>
#include <array>
#include <bitset>
#include <string>
#include <vector>

#include "app/engine/history.h"
#include "app/screens/first_light.h"
#include "app/screens/hear_chord.h"
#include "app/screens/hear_comb.h"
#include "app/screens/hear_strings.h"
#include "app/screens/hear_strums.h"
#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/keys.h"
#include "app/screens/parts/panel.h"
#include "app/screens/parts/strum_comb.h"
#include "app/screens/strokes.h"
#include "core/strum/stroke.h"

namespace strumwright::screens {

using engine::StrokeNow;

namespace {

constexpr std::size_t strums_known = 32;  // of them strings learn their pitches
enum class Page : std::uint8_t { comb, chord, strings, strums };
constexpr std::array<const char*, 4> page_names = {"comb", "chord", "strings", "last strums"};

/// What Hear shows at one moment.
struct Shown {
  std::vector<StrokeNow> strums;  ///< oldest first
  StrokeNow stroke;               ///< the one in the comb; serial 0: none
  bool chosen = false;            ///< that one was stepped to or clicked
  ChordShown chord;
};

int different_notes(const StrokeNow& stroke) {
  std::bitset<128> notes;
  for (std::size_t i = 0; i < stroke.tooth_count; ++i) notes.set(stroke.teeth[i].note & 127U);
  return static_cast<int>(notes.count());
}

/// The chords at a pinned instant, from the history.
void find_chord_at(const Snapshot& snapshot, std::int64_t at_ns, ChordShown& shown) {
  const auto view = snapshot.history.chords.view();
  for (auto i = view.end(); i > view.first(); --i) {
    const auto& span = view[i - 1];
    if (span.t_ns > at_ns) continue;
    shown.chord = span.chord;
    shown.since_ns = span.t_ns;
    if (i - 1 > view.first()) shown.before = view[i - 2].chord;
    return;
  }
}

Shown find_shown(const Snapshot& snapshot, const Moment& moment, const HearView& view) {
  Shown shown;
  shown.strums = last_strums(snapshot, moment, strums_known);
  if (!shown.strums.empty()) shown.stroke = shown.strums.back();
  const auto& now = snapshot.now;
  shown.chord = {now.chord, now.chord_before, now.chord_since_ns, {}, 0};
  if (moment.pinned()) {
    shown.chord = {};
    find_chord_at(snapshot, *moment.pinned_ns, shown.chord);
  }
  const auto chosen = std::find_if(shown.strums.begin(), shown.strums.end(),
                                   [&](const auto& one) { return one.serial == view.chosen; });
  if (chosen != shown.strums.end()) {
    shown.stroke = *chosen;
    shown.chosen = true;
    shown.chord = {};
    find_chord_at(snapshot, chosen->start_ns, shown.chord);
    shown.chord.chord = chosen->chord;
    shown.chord.strum_ns = chosen->start_ns;
  }
  shown.chord.notes = different_notes(shown.stroke);
  return shown;
}

/// Left and Right step through the strums, Enter lays the one shown under the next
/// ones, or takes it away.
void take_keys(Canvas& canvas, const Shown& shown, HearView& view) {
  const auto& keys = canvas.input().keys;
  const int step = presses(keys, key::right) - presses(keys, key::left);
  if (step != 0 && !shown.strums.empty()) {
    const auto last = static_cast<int>(shown.strums.size()) - 1;
    int at = last;
    for (int i = 0; i <= last; ++i) {
      if (shown.strums[static_cast<std::size_t>(i)].serial == view.chosen) at = i;
    }
    at = std::clamp(at + step, 0, last);
    view.chosen = at == last ? 0 : shown.strums[static_cast<std::size_t>(at)].serial;
    canvas.keep_moving();
  }
  const bool free_enter = presses(keys, key::enter) > 0 && canvas.input().focus.empty();
  if (!free_enter || shown.stroke.serial == 0) return;
  const bool same = view.ghost && view.ghost->serial == shown.stroke.serial;
  view.ghost = same ? std::nullopt : std::optional(shown.stroke);
}

void draw_comb_of(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Shown& shown,
                  const HearView& view) {
  draw_comb_panel(canvas, box, {shown.stroke, shown.chosen}, view.ghost ? &*view.ghost : nullptr,
                  snapshot.clock_ns);
}

void draw_strums_of(Canvas& canvas, const Box& box, const Shown& shown, HearView& view) {
  const auto clicked = draw_strums_panel(canvas, box, shown.strums, view.chosen);
  if (!clicked) return;
  view.chosen = *clicked == view.chosen ? 0 : *clicked;
  canvas.keep_moving();
}

void draw_one_page(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                   const Shown& shown, HearView& view, int page) {
  switch (static_cast<Page>(page)) {
    case Page::comb:
      return draw_comb_of(canvas, box, snapshot, shown, view);
    case Page::chord:
      return draw_chord_panel(canvas, box, shown.chord);
    case Page::strings:
      return draw_strings_panel(canvas, box, strings_of(snapshot, moment, shown.strums),
                                moment.pinned());
    case Page::strums:
      return draw_strums_of(canvas, box, shown, view);
  }
}

/// Heights of the three rows; 0 where a row is left out. Strings go first, then the last strums.
struct Rows {
  float top, strings, strums;
};

Rows rows_for(const Box& box) {
  constexpr float gap = theme::gap;
  const bool strings = box.w >= 900.0F && box.h >= 240.0F + 140.0F + 124.0F + 2.0F * gap;
  const bool strums = box.h >= 220.0F + 124.0F + gap;
  if (!strums) return {box.h, 0.0F, 0.0F};
  const float last = std::clamp(box.h * (strings ? 0.226F : 0.353F), 124.0F, 320.0F);
  if (!strings) return {box.h - last - gap, 0.0F, last};
  const float middle = std::clamp(box.h * 0.262F, 140.0F, 520.0F);
  return {box.h - last - middle - 2.0F * gap, middle, last};
}

void draw_all(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
              const Shown& shown, HearView& view) {
  const auto rows = rows_for(box);
  const float chord_width = std::clamp(box.w * 0.349F, 232.0F, 520.0F);
  draw_chord_panel(canvas, {box.x, box.y, chord_width, rows.top}, shown.chord);
  const float left = chord_width + theme::gap;
  draw_comb_of(canvas, {box.x + left, box.y, box.w - left, rows.top}, snapshot, shown, view);
  float y = box.y + rows.top + theme::gap;
  if (rows.strings > 0.0F) {
    draw_strings_panel(canvas, {box.x, y, box.w, rows.strings},
                       strings_of(snapshot, moment, shown.strums), moment.pinned());
    y += rows.strings + theme::gap;
  }
  if (rows.strums > 0.0F) draw_strums_of(canvas, {box.x, y, box.w, rows.strums}, shown, view);
}

const char* role_text(const CombRow& row) { return row.early ? "early" : "step"; }

}  // namespace

Intents draw_hear(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                  HearView& view, int& page) {
  if (snapshot.now.note_starts == 0) return draw_first_light(canvas, box, snapshot);
  take_keys(canvas, find_shown(snapshot, moment, view), view);
  const auto shown = find_shown(snapshot, moment, view);
  if (canvas.room() == theme::Room::narrow) {
    const Box picture = draw_page_hint(canvas, box, page_names, page);
    draw_one_page(canvas, picture, snapshot, moment, shown, view, page);
  } else {
    draw_all(canvas, box, snapshot, moment, shown, view);
  }
  return {};
}

void write_hear(publish::JsonWriter& json, const Snapshot& snapshot, const Moment& moment,
                const HearView& view) {
  const auto shown = find_shown(snapshot, moment, view);
  const auto comb = comb_of(shown.stroke);
  json.key("comb");
  json.begin_object();
  json.member("start_ns", shown.stroke.start_ns);
  json.member("timed", comb.timed);
  json.member("wire_ms", comb.wire_ms);
  json.key("teeth");
  json.begin_array();
  for (const auto& row : comb.rows) {
    json.begin_object();
    json.member("note", row.note);
    json.member("ms", row.start_ms);
    json.member("soonest_ms", row.soonest_ms);
    json.member("role", role_text(row));
    json.member("again", row.again_ms.size());
    json.end_object();
  }
  json.end_array();
  json.end_object();
  json.key("strings");
  json.begin_array();
  for (const auto& string : strings_of(snapshot, moment, shown.strums)) {
    json.begin_object();
    json.member("note", string.note);
    json.member("down", string.down);
    json.member("hangs", string.hangs);
    json.end_object();
  }
  json.end_array();
  if (snapshot.now.note_starts > 0) return;
  json.key("first_light");
  json.begin_array();
  for (const auto& lamp : lamps_of(snapshot)) {
    json.begin_object();
    json.member("name", lamp.name);
    json.member("lit", lamp.state == LampState::lit);
    json.member("wrong", lamp.state == LampState::wrong);
    json.end_object();
  }
  json.end_array();
}

}  // namespace strumwright::screens
