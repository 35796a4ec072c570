// app/screens/source_strip.cpp
#include "app/screens/source_strip.h"

#include <algorithm>
#include <array>

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/outside_text.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

using theme::Room;

namespace {

constexpr double full_load = 0.9;  // where rule wire.load warns
constexpr float cell_gap = 14.0F;
constexpr std::int64_t minute_ns = 60'000'000'000;

/// Where the parts of the strip stand at one width.
struct Columns {
  Room room;
  float first, second;                              ///< baselines
  float source, timing, load, record, keep, chord;  ///< left edges; 0: left out
  float bar;                                        ///< width of the load bar; 0: left out

  /// Where what is right of the source begins.
  [[nodiscard]] float after_source() const {
    return timing > 0.0F ? timing : load > 0.0F ? load : record;
  }
};

Columns narrow_columns(float width) {
  constexpr float source = 36.0F;
  constexpr float after = source + 108.0F;  // room for the word SIMULATED
  const float load = width >= 490.0F ? after : 0.0F;
  const float record = load > 0.0F ? load + 60.0F : after;
  const float keep = record + (width >= 400.0F ? 80.0F : 40.0F);
  return {Room::narrow, 26, 46, source, 0, load, record, keep, keep + 76.0F, 0};
}

Columns columns_for(const Box& box) {
  const auto room = theme::room_for(box.w);
  if (room == Room::narrow) return narrow_columns(box.w);
  if (room == Room::middle) return {room, 27, 49, 160, 0, 288, 422, 526, 612, 0};
  const float bar = box.w >= 1180.0F ? 120.0F : 0.0F;
  const float source = std::clamp(box.w - 1034.0F, 150.0F, 460.0F);
  const float timing = 184.0F + source - 6.0F;
  const float load = timing + 118.0F;
  const float record = load + (bar > 0.0F ? 270.0F : 142.0F);
  return {room, 31, 53, 184, timing, load, record, record + 104.0F, record + 206.0F, bar};
}

Mark lamp_of(const engine::Now& now) {
  if (now.simulated) return Mark::simulated;
  if (now.from_file) return Mark::file;
  switch (now.link) {
    case engine::Link::linked:
      return now.raw ? Mark::in_order : Mark::whole;
    case engine::Link::gone:
      return Mark::gone;
    case engine::Link::none:
    case engine::Link::ended:
      break;
  }
  return Mark::waiting;
}

const char* link_words(const engine::Now& now) {
  switch (now.link) {
    case engine::Link::linked:
      return now.from_file ? "file" : "linked";
    case engine::Link::gone:
      return "gone, session kept, waiting";
    case engine::Link::ended:
      return now.from_file ? "file" : "ended";
    case engine::Link::none:
      break;
  }
  return "no source open";
}

std::string resolution_words(const engine::Now& now) {
  if (now.resolution_ns <= 0) return {};
  // In ms throughout, so that sources compare: ±0.2 ms, ±21.3 ms.
  return "±" +
         number_text(static_cast<double>(now.resolution_ns) / 1e6,
                     now.resolution_ns < 100'000 ? 2 : 1) +
         " ms";
}

/// Ground of the strip; hatched while the source is simulated.
void draw_ground(Canvas& canvas, const Box& box, bool simulated) {
  canvas.fill(box, canvas.palette().panel);
  if (simulated) canvas.hatch(box, theme::faded(canvas.palette().info, 0.30), 6.0F, 16.0F);
  canvas.hairline({box.x, box.bottom() - 1.0F}, {box.right(), box.bottom() - 1.0F});
}

/// A calm place for text on the hatching.
void draw_plate(Canvas& canvas, const Box& box) { canvas.fill(box, canvas.palette().panel, 4.0F); }

void draw_brand(Canvas& canvas, const Columns& at) {
  if (at.room == Room::narrow) return;
  draw_logo(canvas, at.room == Room::wide ? Point{18, 28} : Point{18, 24});
  if (at.room != Room::wide) return;
  canvas.text({48, 41}, "Strumwright", with_colour(strong(canvas), canvas.palette().brass));
}

/// The second line under the source's name, for the room there is.
void draw_source_detail(Canvas& canvas, const Columns& at, const engine::Now& now, float width) {
  const std::string link = link_words(now);
  const auto detail = outside_text(now.source_detail.view());
  const auto brief = detail.substr(0, detail.find(','));
  const std::string grade = wire::to_text(now.grade);
  const std::string kind = now.raw ? "raw" : "messages";
  const auto style = second(canvas);
  const Point at_second{at.source, at.second};
  if (now.simulated && now.link == engine::Link::linked) {
    canvas.first_fit(at_second, width, {"no controller connected", "no controller", grade}, style);
  } else if (now.link == engine::Link::gone || now.link == engine::Link::none) {
    canvas.first_fit(at_second, width, {link, "gone, waiting", "none"}, style);
  } else if (at.timing == 0.0F) {
    canvas.first_fit(
        at_second, width,
        {kind + ", " + grade + " " + resolution_words(now), kind + ", " + grade, grade}, style);
  } else if (detail.empty()) {
    canvas.first_fit(at_second, width, {link + ", " + kind, kind}, style);
  } else {
    canvas.first_fit(
        at_second, width,
        {link + ", " + detail, detail, link + ", " + brief, brief, link + ", " + kind, kind},
        style);
  }
}

bool draw_source(Canvas& canvas, const Columns& at, const Box& box, const engine::Now& now) {
  const float right = at.after_source();
  const float width = right - cell_gap - 7.0F - at.source;
  const float lamp = at.source - (at.room == Room::narrow ? 18.0F : 14.0F);
  const Box cell{lamp - 13.0F, box.y + 6.0F, right - cell_gap - lamp + 7.0F, box.h - 12.0F};
  draw_plate(canvas, cell);
  draw_mark(canvas, lamp_of(now), {lamp, at.first - 5.0F}, 6.0F);
  const auto style = strong(canvas);
  const auto whole = source_title(now);
  const auto brief =
      now.simulated ? std::string("SIMULATED") : canvas.shortened(whole, style, width);
  canvas.first_fit({at.source, at.first}, width, {whole, brief}, style);
  draw_source_detail(canvas, at, now, width);
  return canvas.target("source", cell);
}

/// Between cells; on hatching the plates part them.
void divider(Canvas& canvas, const Box& box, float x, const engine::Now& now) {
  if (now.simulated) return;
  canvas.hairline({x, box.y + 14.0F}, {x, box.bottom() - 15.0F});
}

void draw_timing(Canvas& canvas, const Columns& at, const Box& box, const engine::Now& now) {
  if (at.timing == 0.0F) return;
  draw_plate(canvas, {at.timing - 8.0F, box.y + 6.0F, 104.0F, box.h - 12.0F});
  divider(canvas, box, at.timing - cell_gap, now);
  const bool each = now.grade == wire::Grade::byte || now.grade == wire::Grade::message;
  canvas.text({at.timing, at.first}, each ? "Timing of each" : "Timing", label(canvas));
  const float used = canvas.text({at.timing, at.second}, wire::to_text(now.grade), strong(canvas));
  const float room = at.load - cell_gap - at.timing - used - 8.0F;
  canvas.first_fit({at.timing + used + 6.0F, at.second}, room, {resolution_words(now)},
                   second(canvas));
}

void draw_load_bar(Canvas& canvas, const Box& bar, const engine::Now& now) {
  const auto& palette = canvas.palette();
  canvas.fill(bar, palette.well, 2.0F);
  canvas.outline(bar, palette.line, 1.0F, 2.0F);
  const auto share = [&](double of) {
    return static_cast<float>(std::clamp(of, 0.0, 1.0)) * (bar.w - 2.0F);
  };
  canvas.fill({bar.x + 1.0F, bar.y + 1.0F, share(now.load_now), bar.h - 2.0F},
              now.load_now > full_load ? palette.error : palette.brass);
  const float tick = bar.x + 1.0F + share(full_load);
  canvas.line({tick, bar.y - 3.5F}, {tick, bar.bottom() + 3.5F}, palette.ink3);
  const float peak = bar.x + share(now.load_peak);
  canvas.fill({peak, bar.y - 3.5F, 2.0F, bar.h + 7.0F}, palette.ink2);
}

void draw_load(Canvas& canvas, const Columns& at, const Box& box, const engine::Now& now) {
  if (at.load == 0.0F) return;
  const float width = at.record - 2.0F * cell_gap - at.load;
  draw_plate(canvas, {at.load - 8.0F, box.y + 6.0F, width + 16.0F, box.h - 12.0F});
  divider(canvas, box, at.load - cell_gap, now);
  // A source of whole messages has no line: what a DIN line would have to carry.
  const char* full = now.raw ? "Line load" : "Load, were it DIN";
  canvas.first_fit({at.load, at.first}, at.bar > 0.0F ? width - at.bar - 8.0F : width,
                   {full, now.raw ? "load" : "as DIN"}, label(canvas));
  if (now.load_now < 0.0) {
    canvas.first_fit({at.load, at.second}, width, {"not judged: no times", "not judged", "–"},
                     second(canvas));
    return;
  }
  const auto percent = number_text(now.load_now * 100.0, 0) + " %";
  const auto peak = "peak " + number_text(now.load_peak * 100.0, 0) + " %";
  const float used = canvas.text({at.load, at.second}, percent, strong(canvas));
  const float bar_room = at.bar > 0.0F ? at.bar + 10.0F : 0.0F;
  canvas.first_fit({at.load + used + 8.0F, at.second}, width - used - 8.0F - bar_room, {peak},
                   second(canvas));
  if (at.bar == 0.0F) return;
  const Box bar{at.load + width - at.bar, at.second - 9.0F, at.bar, 9.0F};
  draw_load_bar(canvas, bar, now);
  canvas.text({bar.right(), at.first}, "90 % limit", label(canvas), Align::right);
}

/// How much Keep would keep: seconds, from a minute on whole minutes.
std::string held_text(std::int64_t held_ns) {
  held_ns = std::clamp<std::int64_t>(held_ns, 0, 15 * minute_ns);
  if (held_ns >= minute_ns) return std::to_string(held_ns / minute_ns) + " min";
  return std::to_string(held_ns / 1'000'000'000) + " s";
}

void draw_recording_time(Canvas& canvas, const Columns& at, const Snapshot& snapshot, float width) {
  const auto& now = snapshot.now;
  const auto since_ns = snapshot.clock_ns - now.recording_since_ns;
  const auto style = at.room == Room::narrow ? strong(canvas) : strong_lead(canvas);
  canvas.first_fit({at.record, at.second}, width, {time_text(since_ns), clock_text(since_ns)},
                   style);
  // Tenths run only while something sounds: an idle bench draws once a second.
  canvas.draw_again_in(now.held_count > 0 ? 0.1 : 1.0);
}

void draw_record_words(Canvas& canvas, const Columns& at, const Snapshot& snapshot, float width) {
  const auto& now = snapshot.now;
  const Point lamp{at.record + 6.0F, at.first - 5.0F};
  draw_mark(canvas, now.recording ? Mark::recording : Mark::waiting, lamp, 5.2F);
  const float room = width - 18.0F;
  float used = canvas.first_fit({at.record + 18.0F, at.first}, room,
                                {now.recording ? "Recording" : "Record", "Rec"}, second(canvas));
  if (used > 0.0F) used += 8.0F;
  canvas.first_fit({at.record + 18.0F + used, at.first}, room - used, {"R"}, label(canvas));
  if (now.recording) return draw_recording_time(canvas, at, snapshot, width);
  if (!now.spooling) return;
  const auto held = held_text(snapshot.clock_ns - now.spool_from_ns);
  canvas.first_fit({at.record, at.second}, width, {"last " + held + " held", held + " held"},
                   label(canvas));
  // The seconds of the first minute go on.
  if (snapshot.clock_ns - now.spool_from_ns < minute_ns) canvas.draw_again_in(1.0);
}

Intents draw_record_and_keep(Canvas& canvas, const Columns& at, const Box& box,
                             const Snapshot& snapshot) {
  Intents intents;
  const bool narrow = at.room == Room::narrow;
  const Box cell{at.record - 6.0F, box.y + 6.0F, at.keep - at.record - 2.0F, box.h - 12.0F};
  draw_plate(canvas, cell);
  if (at.load > 0.0F) divider(canvas, box, at.record - cell_gap, snapshot.now);
  draw_record_words(canvas, at, snapshot, cell.w - 10.0F);
  intents.toggle_recording = canvas.target("record", cell);
  const Box button{at.keep, box.centre().y - theme::button_height / 2.0F, narrow ? 66.0F : 70.0F,
                   theme::button_height};
  intents.keep = draw_button(canvas, "keep", button, "Keep", "K");
  return intents;
}

void draw_strip_chord(Canvas& canvas, const Columns& at, const Box& box, const engine::Now& now) {
  const float right = box.right() - (at.room == Room::narrow ? 12.0F : 20.0F);
  const float width = right - at.chord;
  const auto name = chord_text(now.chord);
  if (name.empty() || width <= 0.0F) return;
  // A slash stands a little higher than capitals.
  const float foot = at.room == Room::narrow ? 11.0F : 14.0F;
  const float size = std::min(theme::sign_size, (box.h - foot - 5.0F) / 0.82F);
  if (now.simulated) {
    const Style sign{theme::sign_size, theme::Face::bold, {}};
    const float wide = std::min(width, canvas.width(name, sign) * size / theme::sign_size) + 16.0F;
    draw_plate(canvas, {right - wide + 8.0F, box.y + 6.0F, wide, box.h - 12.0F});
  }
  draw_chord(canvas, {right, box.bottom() - foot}, width, name, size, Align::right);
}

}  // namespace

float strip_height(Room room) {
  return room == Room::wide ? 72.0F : room == Room::middle ? 64.0F : 56.0F;
}

std::string source_title(const engine::Now& now) {
  auto name = outside_text(now.source_name.view());
  if (name.empty()) name = "No source";
  if (now.simulated && name.find("SIMULATED") == std::string::npos) name = "SIMULATED " + name;
  return name;
}

Intents draw_source_strip(Canvas& canvas, const Box& box, const Snapshot& snapshot) {
  const auto at = columns_for(box);
  canvas.set_home(box);
  draw_ground(canvas, box, snapshot.now.simulated);
  if (snapshot.now.simulated && at.room == Room::wide) draw_plate(canvas, {8, 18, 130, 36});
  draw_brand(canvas, at);
  Intents intents;
  intents.choose_source = draw_source(canvas, at, box, snapshot.now);
  draw_timing(canvas, at, box, snapshot.now);
  draw_load(canvas, at, box, snapshot.now);
  if (snapshot.can_record()) intents.add(draw_record_and_keep(canvas, at, box, snapshot));
  draw_strip_chord(canvas, at, box, snapshot.now);
  return intents;
}

}  // namespace strumwright::screens
