// app/screens/notes_screen.cpp
#include "app/screens/notes_screen.h"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "app/engine/history.h"
#include "app/screens/notes_endings.h"
#include "app/screens/notes_findings.h"
#include "app/screens/notes_held.h"
#include "app/screens/notes_lanes.h"
#include "app/screens/notes_time.h"
#include "app/screens/parts/panel.h"
#include "core/diagnosis/finding_text.h"

namespace strumwright::screens {

namespace {

enum class Page : std::uint8_t { lanes, findings, held, endings };
constexpr std::array<const char*, 4> page_names = {"note lanes", "findings", "held now",
                                                   "how a note ended"};

/// What one frame of Notes is drawn from.
struct Frame {
  const Snapshot& snapshot;
  const Moment& moment;
  const std::optional<diagnosis::Finding>& picked;
  const FindingBook& book;
  HeldList held;
};

Intents draw_lanes(Canvas& canvas, const Box& box, const Frame& frame, NotesView& view) {
  return draw_lanes_panel(canvas, box, frame.snapshot, frame.moment, frame.picked, frame.book,
                          view);
}

Intents draw_findings(Canvas& canvas, const Box& box, const Frame& frame, NotesView& view) {
  return draw_findings_panel(canvas, box, frame.snapshot, frame.picked, frame.book.groups(), view);
}

Intents draw_held(Canvas& canvas, const Box& box, const Frame& frame) {
  Intents intents;
  intents.release_all = draw_held_panel(canvas, box, frame.held);
  return intents;
}

Intents draw_one_page(Canvas& canvas, const Box& box, const Frame& frame, NotesView& view,
                      int page) {
  switch (static_cast<Page>(page)) {
    case Page::lanes:
      return draw_lanes(canvas, box, frame, view);
    case Page::findings:
      return draw_findings(canvas, box, frame, view);
    case Page::held:
      return draw_held(canvas, box, frame);
    case Page::endings:
      draw_endings_panel(canvas, box);
  }
  return {};
}

/// Held and, where there is room, the endings, one above the other.
Intents draw_side(Canvas& canvas, const Box& box, const Frame& frame) {
  constexpr float least_held = 200.0F;
  const float endings = endings_height();
  if (box.h < endings + theme::gap + least_held) return draw_held(canvas, box, frame);
  const float held = box.h - endings - theme::gap;
  draw_endings_panel(canvas, {box.x, box.y + held + theme::gap, box.w, endings});
  return draw_held(canvas, box.top(held), frame);
}

Intents draw_all(Canvas& canvas, const Box& box, const Frame& frame, NotesView& view) {
  const float share = view.explain ? 0.46F : 0.26F;
  // Narrow evidence wraps into more lines.
  const float least = box.w < 1000.0F ? 200.0F : 172.0F;
  const float foot = std::clamp(box.h * share, least, view.explain ? 420.0F : 260.0F);
  const float top = box.h - foot - theme::gap;
  const float side = canvas.room() == theme::Room::wide ? 248.0F : 204.0F;
  const float lanes = box.w - side - theme::gap;
  Intents intents = draw_lanes(canvas, {box.x, box.y, lanes, top}, frame, view);
  intents.add(draw_side(canvas, {box.x + lanes + theme::gap, box.y, side, top}, frame));
  intents.add(draw_findings(canvas, {box.x, box.y + top + theme::gap, box.w, foot}, frame, view));
  return intents;
}

Intents draw_empty(Canvas& canvas, const Box& box, const Snapshot& snapshot) {
  Intents intents;
  const bool offer = !snapshot.now.simulated;
  intents.start_simulation =
      draw_empty_hint(canvas, box, "Notes", "No note has sounded yet. Touch a string.",
                      "notes.simulate", offer ? "Use the simulated Heron" : "");
  return intents;
}

void write_bar(publish::JsonWriter& json, const NoteBar& bar) {
  constexpr std::array<const char*, 5> shapes = {"velocity_zero", "note_off", "all_off", "again",
                                                 "open"};
  json.begin_object();
  json.member("channel", bar.channel + 1);
  json.member("note", bar.note);
  json.member("start_ns", bar.start_ns);
  json.member("end_ns", bar.end_ns);
  json.member("shape", shapes[static_cast<std::size_t>(end_shape(bar))]);
  json.member("hangs", bar.hangs);
  json.end_object();
}

void write_lanes(publish::JsonWriter& json, const Snapshot& snapshot, const FindingBook& book,
                 const NotesView& view, const TimeScale& shown) {
  json.key("lanes");
  json.begin_object();
  json.member("from_ns", shown.left_ns);
  json.member("to_ns", shown.right_ns);
  json.key("pitches");
  json.begin_array();
  for (std::size_t note = view.lanes.size(); note-- > 0;) {
    if (view.lanes.test(note)) json.value(note);
  }
  json.end_array();
  json.key("bars");
  json.begin_array();
  SoundingAt edge = view.at_edge;
  for (const auto& bar : bars_between(snapshot, book, edge, shown.left_ns, shown.right_ns)) {
    write_bar(json, bar);
  }
  json.end_array();
  json.end_object();
}

void write_pins(publish::JsonWriter& json, const Snapshot& snapshot, const FindingBook& book,
                const TimeScale& shown) {
  json.key("pins");
  json.begin_array();
  const auto findings = snapshot.history.findings.view();
  for (const auto i : book.between(findings, shown.left_ns, shown.right_ns)) {
    json.begin_object();
    json.member("id", diagnosis::id_of(findings[i]));
    json.member("t_ns", findings[i].t_ns);
    json.end_object();
  }
  json.end_array();
}

}  // namespace

Intents draw_notes(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                   const std::optional<diagnosis::Finding>& picked, const FindingBook& book,
                   NotesView& view, int& page) {
  const auto& now = snapshot.now;
  if (now.note_starts == 0 && now.held_count == 0 && now.findings_total == 0) {
    return draw_empty(canvas, box, snapshot);
  }
  const Frame frame{snapshot, moment, picked, book,
                    held_list(snapshot, moment, book, view.at_moment)};
  if (snapshot.running && !frame.held.pinned && now.held_count > 0) canvas.draw_again_in(0.5);
  if (canvas.room() != theme::Room::narrow) return draw_all(canvas, box, frame, view);
  const Box picture = draw_page_hint(canvas, box, page_names, page);
  return draw_one_page(canvas, picture, frame, view, page);
}

void write_notes(publish::JsonWriter& json, const Snapshot& snapshot, const Moment& moment,
                 const FindingBook& book, const NotesView& view) {
  const auto shown = lanes_shown(snapshot, view);
  write_lanes(json, snapshot, book, view, shown);
  write_pins(json, snapshot, book, shown);
  SoundingAt at_moment = view.at_moment;
  const auto held = held_list(snapshot, moment, book, at_moment);
  json.key("held_shown");
  json.begin_object();
  json.member("at_ns", held.at_ns);
  json.member("others", held.others);
  json.key("named");
  json.begin_array();
  for (const auto& bar : held.named) write_bar(json, bar);
  json.end_array();
  json.end_object();
}

}  // namespace strumwright::screens
