// app/screens/first_light.cpp
#include "app/screens/first_light.h"

#include <algorithm>
#include <string_view>

#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/outside_text.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

using diagnosis::Rule;

namespace {

/// Bytes from which a stream without one message is judged wrong, not merely young (ours).
constexpr std::uint64_t enough_bytes = 8;
/// A raw line carries 3,125 bytes a second; stamps of lumps may crowd them, so not far above
/// (ours).
constexpr double impossible_load = 1.5;

bool found(const engine::Now& now, Rule rule) {
  const auto* end = now.findings.data() + now.finding_count;
  return std::any_of(now.findings.data(), end,
                     [rule](const diagnosis::Finding& finding) { return finding.rule == rule; });
}

Lamp source_lamp(const engine::Now& now) {
  const bool open = now.link == engine::Link::linked || now.from_file;
  const auto detail = outside_text(now.source_detail.view());
  if (open) return {"Source open", LampState::lit, detail};
  const bool gone = now.link == engine::Link::gone;
  return {"Source open", gone ? LampState::wrong : LampState::waiting,
          gone ? "it went away; waiting for it" : "no source chosen"};
}

Lamp bytes_lamp(const Snapshot& snapshot) {
  const auto& now = snapshot.now;
  if (now.bytes == 0) return {"Bytes", LampState::waiting, "none so far"};
  const auto span_ns =
      now.from_file ? now.last_byte_ns - now.first_byte_ns : snapshot.clock_ns - now.first_byte_ns;
  return {"Bytes", LampState::lit,
          count_text(now.bytes) + " in " + duration_text(std::max<std::int64_t>(span_ns, 0))};
}

Lamp rate_lamp(const engine::Now& now) {
  if (now.bytes == 0) return {"Plausible rate", LampState::waiting, "waits for bytes"};
  if (found(now, Rule::wire_wrong_rate)) {
    return {"Plausible rate", LampState::wrong, "the bytes look like another baud rate"};
  }
  if (now.raw && now.load_peak > impossible_load) {
    return {"Plausible rate", LampState::wrong, "more than a MIDI line can carry"};
  }
  const double span_s = static_cast<double>(now.last_byte_ns - now.first_byte_ns) / 1e9;
  const auto rate = span_s >= 1.0
                        ? number_text(static_cast<double>(now.bytes) / span_s, 0) + " a second"
                        : std::string("less than a second so far");
  return {"Plausible rate", LampState::lit, rate};
}

Lamp status_lamp(const engine::Now& now) {
  if (now.messages > 0) {
    return {"Legal status bytes", LampState::lit, counted(now.messages, "message")};
  }
  if (now.text_bytes > 0) {
    return {"Legal status bytes", LampState::wrong,
            "none in " + count_text(now.bytes) + ": they read as text"};
  }
  if (now.bytes < enough_bytes)
    return {"Legal status bytes", LampState::waiting, "waits for bytes"};
  return {"Legal status bytes", LampState::wrong, "none in " + counted(now.bytes, "byte")};
}

Lamp note_lamp(const engine::Now& now) {
  if (now.note_starts > 0) return {"A note", LampState::lit, counted(now.note_starts, "start")};
  return {"A note", LampState::waiting, "waiting"};
}

Explanation from_rule(Rule rule) {
  const auto& text = diagnosis::text_of(rule);
  return {text.title, {text.causes.begin(), text.causes.end()}, text.next};
}

/// Nothing comes through a MIDI port: another program is nearer than pins and cables.
Explanation silent_port() {
  auto why = from_rule(Rule::wire_silent);
  why.causes.insert(why.causes.begin(),
                    "the other program does not send, or is not connected here");
  why.next = "Connect the sender's output to this port and have it send a note. " + why.next;
  return why;
}

Mark mark_of(const Lamp& lamp) {
  switch (lamp.state) {
    case LampState::lit:
      return Mark::in_order;
    case LampState::wrong:
      return Mark::error;
    case LampState::waiting:
      break;
  }
  return Mark::waiting;
}

/// For the smallest windows: the five lamps in one row, and the name of the first dark one.
void draw_lamp_row(Canvas& canvas, const Box& box, const std::array<Lamp, 5>& lamps) {
  float x = box.x + 8.0F;
  const Lamp* dark = nullptr;
  for (const auto& lamp : lamps) {
    draw_mark(canvas, mark_of(lamp), {x, box.y + 8.0F}, 6.0F);
    x += 20.0F;
    if (dark == nullptr && lamp.state != LampState::lit) dark = &lamp;
  }
  if (dark == nullptr) return;
  canvas.first_fit({x, box.y + 13.0F}, box.right() - x,
                   {std::string(dark->name) + ": " + dark->detail, dark->name}, second(canvas));
}

constexpr float least_lamp_step = 19.0F;

void draw_lamps(Canvas& canvas, const Box& box, const std::array<Lamp, 5>& lamps) {
  const float step = std::min(46.0F, box.h / 5.0F);
  if (step < least_lamp_step) return draw_lamp_row(canvas, box, lamps);
  const bool details = step >= 36.0F;
  float y = box.y;
  for (const auto& lamp : lamps) {
    const float radius = details ? 9.0F : 6.5F;
    draw_mark(canvas, mark_of(lamp), {box.x + 16.0F, y + 13.0F}, radius);
    const auto name = details ? strong_lead(canvas) : strong(canvas);
    const Box words = box.without_left(40.0F);
    canvas.text({words.x, y + 18.0F}, canvas.shortened(lamp.name, name, words.w), name);
    if (details) {
      const auto style = second(canvas);
      const auto brief = lamp.detail.substr(0, lamp.detail.find(','));
      const auto cut = canvas.shortened(brief, style, words.w);
      canvas.first_fit({words.x, y + 36.0F}, words.w, {lamp.detail, cut}, style);
    }
    y += step;
  }
}

/// Text from `y` down to `foot`; what has no room is left out line by line. Returns where it ends.
class Column {
 public:
  Column(Canvas& canvas, const Box& box, float foot)
      : canvas_(&canvas), box_(box), foot_(foot), y_(box.y + 18.0F) {}

  void add(std::string_view text, const Style& style, float indent = 0.0F) {
    const int room = lines_left(style);
    if (room <= 0) return;
    y_ = canvas_->paragraph({box_.x + indent, y_}, box_.w - indent, text, style, room);
  }
  /// One of a list.
  void add_point(std::string_view text, const Style& style) {
    if (lines_left(style) <= 0) return;
    canvas_->text({box_.x, y_}, "·", style);
    add(text, style, 10.0F);
  }
  void skip(float by) { y_ += by; }
  [[nodiscard]] float y() const { return y_; }

 private:
  [[nodiscard]] int lines_left(const Style& style) const {
    return y_ > foot_ ? 0 : static_cast<int>((foot_ - y_) / (style.size * theme::line_height)) + 1;
  }

  Canvas* canvas_;
  Box box_;
  float foot_;
  float y_;
};

float draw_words(Canvas& canvas, const Box& box, const engine::Now& now, const Explanation& why) {
  const auto style = with_colour(plain(canvas), canvas.palette().ink2);
  Column column(canvas, box, box.bottom() - theme::button_height - 16.0F);
  column.add(why.heading, strong_lead(canvas));
  column.skip(3.0F);
  column.add("Do this next", label(canvas));
  column.skip(2.0F);
  column.add(why.next, style);
  column.skip(7.0F);
  const auto bytes = outside_text(now.first_bytes.view());
  if (!bytes.empty()) {
    const Style mono{theme::label_size, theme::Face::mono, canvas.palette().ink2};
    column.add(canvas.shortened("first bytes  " + bytes, mono, box.w), mono);
    column.skip(7.0F);
  }
  if (!why.causes.empty()) column.add("Likely causes", label(canvas));
  for (const auto& cause : why.causes) column.add_point(cause, second(canvas));
  return column.y();
}

Intents draw_explanation(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                         const Explanation& why) {
  Intents intents;
  const float end = draw_words(canvas, box, snapshot.now, why);
  const float at = std::min(box.bottom() - theme::button_height, end + 6.0F);
  float x = box.x;
  if (!snapshot.now.simulated) {
    const char* words = "Try the simulated Heron";
    const float wide = std::min(box.w, button_width(canvas, words));
    intents.start_simulation = draw_button(canvas, "simulate", {x, at, wide, theme::button_height},
                                           words, {}, ButtonLook::main);
    x += wide + 14.0F;
  }
  const float wide = button_width(canvas, "Show bytes", "3");
  if (x + wide <= box.right() && snapshot.now.bytes > 0 &&
      draw_button(canvas, "show-bytes", {x, at, wide, theme::button_height}, "Show bytes", "3")) {
    intents.go = Area::wire;
  }
  return intents;
}

}  // namespace

std::array<Lamp, 5> lamps_of(const Snapshot& snapshot) {
  return {source_lamp(snapshot.now), bytes_lamp(snapshot), rate_lamp(snapshot.now),
          status_lamp(snapshot.now), note_lamp(snapshot.now)};
}

Explanation explain_first_dark(const Snapshot& snapshot, const std::array<Lamp, 5>& lamps) {
  const auto dark = std::find_if(lamps.begin(), lamps.end(),
                                 [](const Lamp& lamp) { return lamp.state != LampState::lit; });
  switch (dark - lamps.begin()) {
    case 0:
      if (snapshot.now.link == engine::Link::gone) return from_rule(Rule::port_gone);
      return {"No source is open",
              {"nothing is plugged in yet", "nothing was chosen yet"},
              "Plug the controller in and choose it, or let the simulated Heron play."};
    case 1:
      return snapshot.now.raw ? from_rule(Rule::wire_silent) : silent_port();
    case 2:
      return from_rule(Rule::wire_wrong_rate);
    case 3:
      if (snapshot.now.text_bytes > 0) return from_rule(Rule::wire_text);
      if (lamps[3].state == LampState::wrong) return from_rule(Rule::wire_stray_data);
      return {
          "The first bytes are here", {}, "Touch a string: a note start is 90, note, velocity."};
    default:
      break;
  }
  return {"Messages arrive, but no note has started",
          {"the controller sends controls or clock only", "every note has velocity zero"},
          "Touch a string; a note start is 90, the note, a velocity above 0."};
}

Intents draw_first_light(Canvas& canvas, const Box& whole, const Snapshot& snapshot) {
  const auto lamps = lamps_of(snapshot);
  const Box box = whole.top(std::min(whole.h, 330.0F));  // a card, not a wall
  const Box inside = draw_panel(canvas, box, {"First light", "until the first good note", {}});
  const bool side_by_side = inside.w >= 480.0F;
  const float lamps_width = side_by_side ? std::min(340.0F, inside.w * 0.42F) : inside.w;
  const float list_height = 5.0F * 22.0F;
  const float lamps_height = side_by_side                       ? inside.h
                             : inside.h >= list_height + 130.0F ? list_height + 4.0F
                                                                : 24.0F;
  draw_lamps(canvas, {inside.x, inside.y + 4.0F, lamps_width - 16.0F, lamps_height - 4.0F}, lamps);
  const auto why = explain_first_dark(snapshot, lamps);
  if (!side_by_side) {
    return draw_explanation(canvas, inside.without_top(lamps_height + 4.0F), snapshot, why);
  }
  canvas.hairline({inside.x + lamps_width, inside.y}, {inside.x + lamps_width, inside.bottom()});
  const Box text{inside.x + lamps_width + 20.0F, inside.y + 4.0F,
                 std::min(520.0F, inside.w - lamps_width - 20.0F), inside.h - 4.0F};
  // The counted time goes on.
  if (snapshot.now.bytes > 0 && !snapshot.now.from_file) canvas.draw_again_in(1.0);
  return draw_explanation(canvas, text, snapshot, why);
}

}  // namespace strumwright::screens
