// app/screens/state_document.cpp
#include "app/screens/state_document.h"

#include <algorithm>
#include <cmath>
#include <span>

#include "app/screens/notes_screen.h"
#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/finding_groups.h"
#include "app/screens/source_strip.h"
#include "app/screens/strokes.h"
#include "app/screens/wire_screen.h"
#include "core/diagnosis/finding_text.h"
#include "core/publish/json_writer.h"
#include "core/strum/stroke.h"
#include "core/wire/timing_grade.h"

namespace strumwright::screens {

using publish::JsonWriter;

namespace {

void write_source(JsonWriter& json, const engine::Now& now) {
  json.key("source");
  json.begin_object();
  json.member("name", source_title(now));
  json.member("grade", wire::to_text(now.grade));
  json.member("simulated", now.simulated);
  json.member("recording", now.recording);
  json.member("raw", now.raw);
  json.member("linked", now.link == engine::Link::linked);
  json.end_object();
}

void write_held(JsonWriter& json, const engine::Now& now) {
  json.key("held");
  json.begin_array();
  const auto count = std::min<std::size_t>(now.held_count, engine::Now::most_held);
  for (const auto& held : std::span(now.held.data(), count)) {
    json.begin_object();
    json.member("channel", held.key.channel.number());
    json.member("note", held.key.number);
    json.member("since_ns", held.since_ns);
    json.end_object();
  }
  json.end_array();
}

void write_onsets(JsonWriter& json, const engine::StrokeNow& stroke) {
  json.key("onsets");
  json.begin_array();
  for (const auto& tooth : std::span(stroke.teeth.data(), stroke.tooth_count)) {
    json.begin_object();
    json.member("t_ns", tooth.t_ns);
    json.member("note", tooth.note);
    json.member("velocity", tooth.velocity);
    json.end_object();
  }
  json.end_array();
}

void write_stroke(JsonWriter& json, const engine::StrokeNow& stroke) {
  json.begin_object();
  json.member("serial", stroke.serial);
  json.member("start_ns", stroke.start_ns);
  json.member("end_ns", stroke.end_ns);
  json.member("direction", direction_text(stroke));
  json.member("final", stroke.final);
  const auto chord = chord_text(stroke.chord);
  chord.empty() ? json.null_member("chord") : json.member("chord", chord);
  stroke.timed ? json.member("span_ms", static_cast<double>(stroke.span_ns) / 1e6)
               : json.null_member("span_ms");
  stroke.evenness >= 0.0 ? json.member("evenness", stroke.evenness) : json.null_member("evenness");
  json.member("wire_limited", stroke.wire_limited);
  write_onsets(json, stroke);
  json.end_object();
}

void write_strums(JsonWriter& json, const Snapshot& snapshot, const Moment& moment) {
  json.key("strums");
  json.begin_array();
  for (const auto& stroke : last_strums(snapshot, moment, strums_in_state)) {
    write_stroke(json, stroke);
  }
  json.end_array();
}

void write_findings(JsonWriter& json, const Snapshot& snapshot, const ViewState& view) {
  const auto& now = snapshot.now;
  json.key("findings");
  json.begin_array();
  for (const auto& group : view.book.groups()) {
    const auto& newest = group.newest;
    json.begin_object();
    json.member("id", diagnosis::id_of(newest));
    json.member("rule", diagnosis::text_of(newest.rule).name);
    json.member("severity", diagnosis::to_text(newest.severity));
    json.member("t_ns", newest.t_ns);
    json.member("count", group.count);
    json.member("going_on", group.going_on);
    json.member("text", diagnosis::text_of(newest, diagnosis::Signs::real));
    json.end_object();
  }
  json.end_array();
  json.key("counts");
  json.begin_object();
  json.member("error", now.errors);
  json.member("warning", now.warnings);
  json.member("info", now.infos);
  json.end_object();
}

void write_targets(JsonWriter& json, const Drawn& drawn, float pixels_a_unit) {
  const auto pixels = [&](float units) { return std::lround(units * pixels_a_unit); };
  json.key("targets");
  json.begin_array();
  for (const auto& target : drawn.targets) {
    json.begin_object();
    json.member("id", target.id);
    json.member("x", pixels(target.box.x));
    json.member("y", pixels(target.box.y));
    json.member("w", pixels(target.box.w));
    json.member("h", pixels(target.box.h));
    json.end_object();
  }
  json.end_array();
}

}  // namespace

std::string state_document(const Snapshot& snapshot, const ViewState& view, const Drawn& drawn,
                           const WindowFacts& facts) {
  std::string text;
  JsonWriter json(text);
  json.begin_object();
  json.member("area", text_of(view.area).name);
  const auto chord = chord_text(snapshot.now.chord);
  chord.empty() ? json.null_member("chord") : json.member("chord", chord);
  json.member("far", view.far);
  json.member("scale_percent", view.scale_percent);
  json.member("pinned_ns", view.moment.pinned_ns);
  write_source(json, snapshot.now);
  write_held(json, snapshot.now);
  write_strums(json, snapshot, view.moment);
  write_findings(json, snapshot, view);
  if (view.area == Area::hear) write_hear(json, snapshot, view.moment, view.hear);
  if (view.area == Area::notes) write_notes(json, snapshot, view.moment, view.book, view.notes);
  if (view.area == Area::wire) write_wire(json, snapshot, view.wire);
  write_targets(json, drawn, facts.pixels_a_unit);
  json.member("first_frame_ns", facts.first_frame_ns);
  json.end_object();
  text += '\n';
  return text;
}

}  // namespace strumwright::screens
