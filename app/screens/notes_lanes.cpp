// app/screens/notes_lanes.cpp
#include "app/screens/notes_lanes.h"

#include <algorithm>
#include <cmath>

#include "app/engine/history.h"
#include "app/screens/notes_endings.h"
#include "app/screens/notes_pins.h"
#include "app/screens/notes_time.h"
#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/panel.h"
#include "core/diagnosis/finding_text.h"
#include "core/midi/status.h"

namespace strumwright::screens {

namespace {

constexpr float names_width = 50.0F;
constexpr float band_height = 22.0F;
constexpr float pins_height = 20.0F;
constexpr float pins_gap = 4.0F;
constexpr float bytes_height = 18.0F;
constexpr float axis_height = 18.0F;
constexpr float tallest_lane = 26.0F;
constexpr float label_room = 12.4F;  // between the baselines of two names
/// Wider than this the byte strip is drawn from the load columns.
constexpr std::int64_t bytes_span_ns = 20'000'000'000;

/// What the panel knows of the stretch that it shows.
struct Shown {
  TimeScale scale;
  std::int64_t now_ns = 0;
  std::vector<NoteBar> bars;
  std::vector<diagnosis::Finding> findings;
};

Shown find_shown(const Snapshot& snapshot, const TimeScale& scale, std::int64_t now_ns,
                 const FindingBook& book, NotesView& view) {
  Shown shown{scale, now_ns, {}, {}};
  shown.bars = bars_between(snapshot, book, view.at_edge, scale.left_ns, scale.right_ns);
  const auto findings = snapshot.history.findings.view();
  for (const auto i : book.between(findings, scale.left_ns, scale.right_ns)) {
    shown.findings.push_back(findings[i]);
  }
  std::sort(shown.findings.begin(), shown.findings.end(), diagnosis::before);
  return shown;
}

bool is_swap(const diagnosis::Finding& finding) {
  using diagnosis::Rule;
  const bool orphan = finding.rule == Rule::note_swapped_off ||
                      finding.rule == Rule::note_channel_crossed ||
                      finding.rule == Rule::note_off_unmatched;
  return orphan && finding.note.has_value();
}

/// Lanes stay until a new pitch needs one, so that the picture does not jump at every note that
/// leaves it; where it stands still it has just what is in sight.
void choose_lanes(const Shown& shown, bool follows, std::bitset<128>& lanes) {
  std::bitset<128> wanted;
  for (const auto& bar : shown.bars) wanted.set(bar.note & 127U);
  for (const auto& finding : shown.findings) {
    if (is_swap(finding)) wanted.set(*finding.note & 127U);
  }
  const bool fits = (wanted & ~lanes).none() && wanted.any();
  if (!follows || !fits) lanes = wanted;
}

void draw_chord_cell(Canvas& canvas, const Box& band, float from, float to,
                     const harmony::ChordName& chord) {
  const Box cell{std::max(band.x, from), band.y, 0.0F, band.h};
  const float wide = std::min(band.right(), to) - cell.x - 1.5F;
  if (wide < 2.0F) return;
  canvas.fill({cell.x, cell.y, wide, cell.h}, canvas.palette().raised, theme::radius);
  canvas.first_fit({cell.x + 8.0F, band.y + 16.0F}, wide - 12.0F, {chord_text(chord)},
                   strong(canvas));
}

/// Which chord was in force when; the newest runs to now.
void draw_chords(Canvas& canvas, const Box& band, const Snapshot& snapshot, const Shown& shown) {
  if (band.h <= 0.0F) return;
  const auto view = snapshot.history.chords.view();
  const auto& scale = shown.scale;
  auto i = view.at_or_after(scale.left_ns);
  if (i > view.first()) --i;
  const float now_x = scale.at(shown.now_ns);
  for (; i < view.end() && view[i].t_ns <= scale.right_ns; ++i) {
    const float end = i + 1 < view.end() ? scale.at(view[i + 1].t_ns) : now_x;
    draw_chord_cell(canvas, band, scale.at(view[i].t_ns), std::min(end, now_x), view[i].chord);
  }
}

void draw_lane_grounds(Canvas& canvas, const Box& lanes, const LaneRows& rows) {
  const auto ground = theme::mixed(canvas.palette().panel, canvas.palette().bench, 0.55);
  for (std::size_t i = 0; i < rows.notes().size(); i += 2) {
    canvas.fill({lanes.x, lanes.y + rows.step() * static_cast<float>(i), lanes.w, rows.step()},
                ground);
  }
}

/// Names where they fit, those of hanging notes first.
void draw_lane_names(Canvas& canvas, const LaneRows& rows, float right,
                     const std::vector<NoteBar>& bars) {
  std::bitset<128> hanging;
  std::bitset<128> down;
  for (const auto& bar : bars) {
    if (bar.hangs) hanging.set(bar.note & 127U);
    if (bar.is_down()) down.set(bar.note & 127U);
  }
  std::vector<float> taken;
  const auto draw = [&](std::uint8_t note, const Style& style) {
    const float y = rows.y(note);
    const bool free = std::none_of(taken.begin(), taken.end(), [&](float other) {
      return std::fabs(other - y) < std::min(label_room, std::max(rows.step(), 12.0F));
    });
    if (!free) return;
    taken.push_back(y);
    canvas.text({right, y + 4.5F}, note_name(note), style, Align::right);
  };
  const Style bold{theme::label_size, theme::Face::bold, canvas.palette().ink};
  for (const auto note : rows.notes()) {
    if (hanging.test(note)) draw(note, bold);
  }
  for (const auto note : rows.notes()) {
    const auto quiet = down.test(note) ? second(canvas) : label(canvas);
    if (!hanging.test(note)) draw(note, quiet);
  }
}

void draw_bars(Canvas& canvas, const Box& lanes, const LaneRows& rows, const Shown& shown) {
  const auto& scale = shown.scale;
  const float thick = std::clamp(rows.step() * 0.62F, 1.5F, 12.0F);
  std::array<float, 128> drawn_to{};
  for (const auto& bar : shown.bars) {
    if (!rows.has(bar.note)) continue;
    const float end_x = scale.at(bar.is_down() ? shown.now_ns : bar.end_ns);
    const float from = std::max(lanes.x, scale.at(bar.start_ns));
    const float to = std::clamp(end_x, from + 1.0F, std::max(from + 1.0F, lanes.right()));
    // Far out, many notes share a pixel: one of them is enough.
    if (!bar.hangs && to <= drawn_to[bar.note & 127U] + 0.5F) continue;
    drawn_to[bar.note & 127U] = to;
    const float y = rows.y(bar.note) - thick / 2.0F;
    draw_note_bar(canvas, {from, y, to - from, thick}, bar, end_x <= lanes.right());
    if (scale.at(bar.start_ns) >= lanes.x && to - from > 3.0F) {
      canvas.fill({from - 1.0F, y - 1.0F, 2.0F, thick + 2.0F}, canvas.palette().glow);
    }
  }
}

std::vector<SwappedRelease> swaps_of(const LaneRows& rows, const Shown& shown) {
  std::vector<SwappedRelease> swaps;
  for (const auto& finding : shown.findings) {
    if (!is_swap(finding) || !rows.has(*finding.note)) continue;
    const float x = shown.scale.at(finding.t_ns);
    SwappedRelease swap{finding, {x, rows.y(*finding.note)}, std::nullopt};
    const bool meant = finding.rule != diagnosis::Rule::note_off_unmatched && finding.other &&
                       rows.has(finding.other->number);
    if (meant && finding.other->number != *finding.note) {
      swap.meant = Point{x, rows.y(finding.other->number)};
    }
    swaps.push_back(swap);
  }
  return swaps;
}

/// Marks one pixel column each for bytes; runs of them become one box.
class ByteRuns {
 public:
  ByteRuns(Canvas& canvas, const Box& row, theme::Colour colour)
      : canvas_(canvas), row_(row), colour_(colour) {}
  void add(float x, float wide) {
    if (x < row_.x || x + wide > row_.right()) return;
    if (x > to_ + 1.2F) flush();
    if (to_ < from_) from_ = x;
    to_ = std::max(to_, x + wide);
  }
  void flush() {
    if (to_ >= from_) canvas_.fill({from_, row_.y, std::max(1.0F, to_ - from_), row_.h}, colour_);
    from_ = 0.0F;
    to_ = -1.0F;
  }

 private:
  Canvas& canvas_;
  Box row_;
  theme::Colour colour_;
  float from_ = 0.0F;
  float to_ = -1.0F;
};

float byte_width(const TimeScale& scale) {
  const double span_ns = static_cast<double>(scale.right_ns - scale.left_ns);
  return std::max(0.6F, static_cast<float>(scale.w * (midi::byte_ns * 0.8) / span_ns));
}

void draw_strays(Canvas& canvas, const Box& row, const Snapshot& snapshot, const Shown& shown) {
  const auto view = snapshot.history.events.view();
  const auto& scale = shown.scale;
  ByteRuns runs(canvas, row, canvas.palette().error);
  for (auto i = view.at_or_after(scale.left_ns); i < view.end(); ++i) {
    const auto& at = view[i];
    if (at.t_ns > scale.right_ns) break;
    if (at.event.is(midi::Code::stray)) runs.add(scale.at(at.t_ns), 2.0F);
  }
  runs.flush();
}

void draw_byte_strip(Canvas& canvas, const Box& row, const Snapshot& snapshot, const Shown& shown) {
  const auto& scale = shown.scale;
  ByteRuns runs(canvas, row, canvas.palette().brass);
  if (scale.right_ns - scale.left_ns > bytes_span_ns) {
    const auto view = snapshot.history.load.view();
    const float wide = scale.at(scale.left_ns + engine::LoadColumn::width_ns) - scale.x;
    for (auto i = view.at_or_after(scale.left_ns); i < view.end(); ++i) {
      if (view[i].t_ns > scale.right_ns) break;
      runs.add(scale.at(view[i].t_ns), wide);
    }
    return runs.flush();
  }
  const auto view = snapshot.history.bytes.view();
  const float wide = byte_width(scale);
  for (auto i = view.at_or_after(scale.left_ns); i < view.end(); ++i) {
    if (view[i].t_ns > scale.right_ns) break;
    if (!view[i].out()) runs.add(scale.at(view[i].t_ns), wide);
  }
  runs.flush();
  draw_strays(canvas, row, snapshot, shown);
}

void draw_now_rule(Canvas& canvas, const Box& plot, const Shown& shown) {
  if (!shown.scale.shows(shown.now_ns)) return;
  const float x = shown.scale.at(shown.now_ns);
  canvas.line({x, plot.y}, {x, plot.bottom()}, canvas.palette().glow, 1.0F);
}

void draw_side_names(Canvas& canvas, const LanesFrame& at, float right) {
  if (at.pins.h > 0.0F) {
    canvas.text({right, at.pins.centre().y + 4.5F}, "finding", label(canvas), Align::right);
  }
  if (at.bytes.h > 0.0F) {
    canvas.text({right, at.bytes.centre().y + 4.5F}, "bytes", label(canvas), Align::right);
  }
}

/// Everything that lies on the time axis, from the ground up.
void draw_picture(Canvas& canvas, const LanesFrame& at, const LaneRows& rows,
                  const Snapshot& snapshot, const Moment& moment, const Shown& shown) {
  draw_lane_grounds(canvas, at.lanes, rows);
  const Box plot = at.plot();
  draw_time_axis(canvas, shown.scale, {at.lanes.x, at.lanes.y, plot.w, plot.bottom() - at.lanes.y},
                 at.axis);
  draw_chords(canvas, at.band, snapshot, shown);
  draw_bars(canvas, at.lanes, rows, shown);
  if (at.bytes.h > 0.0F) draw_byte_strip(canvas, at.bytes, snapshot, shown);
  draw_now_rule(canvas, plot, shown);
  if (moment.pinned()) draw_moment_rule(canvas, shown.scale, plot, *moment.pinned_ns);
}

std::string state_text(const Snapshot& snapshot, const Moment& moment, const NotesView& view) {
  if (moment.pinned()) return "wheel zooms, drag moves";
  if (view.right_ns)
    return snapshot.running ? "moved; End follows again" : "moved; End goes to the end";
  return snapshot.running ? "follows now; a pin freezes all areas"
                          : "the end of the recording; a pin freezes all areas";
}

}  // namespace

LanesFrame lanes_frame(const Box& inside) {
  LanesFrame at;
  const float left = inside.x + names_width;
  const float wide = inside.w - names_width;
  const bool band = inside.h >= 110.0F;
  const bool bytes = inside.h >= 190.0F;
  float y = inside.y;
  at.band = {left, y, wide, band ? band_height : 0.0F};
  y += band ? band_height + 3.0F : 0.0F;
  at.pins = {left, y, wide, pins_height};
  y += pins_height + pins_gap;
  const float foot = inside.bottom() - axis_height - (bytes ? bytes_height : 0.0F) + 8.0F;
  at.lanes = {left, y, wide, std::max(1.0F, foot - y)};
  if (bytes) at.bytes = {left, foot + 5.0F, wide, bytes_height - 7.0F};
  at.axis = inside.bottom() + 4.0F;
  return at;
}

LaneRows::LaneRows(const Box& box, const std::bitset<128>& pitches) : box_(box) {
  row_.fill(-1);
  for (std::size_t note = 128; note-- > 0;) {
    if (!pitches.test(note)) continue;
    row_[note] = static_cast<std::int16_t>(notes_.size());
    notes_.push_back(static_cast<std::uint8_t>(note));
  }
  if (!notes_.empty()) step_ = std::min(tallest_lane, box.h / static_cast<float>(notes_.size()));
}

float LaneRows::y(std::uint8_t note) const {
  return box_.y + step_ * (static_cast<float>(row_[note & 127U]) + 0.5F);
}

Intents draw_lanes_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                         const Moment& moment, const std::optional<diagnosis::Finding>& picked,
                         const FindingBook& book, NotesView& view) {
  const auto state = state_text(snapshot, moment, view);
  const Box inside = draw_panel(
      canvas, box, {"Note lanes", "a lane a pitch; bars run from start to release", state});
  const auto at = lanes_frame(inside);
  const auto scale = lanes_scale(canvas, at.plot(), snapshot, moment, view);
  const auto shown = find_shown(snapshot, scale, followed_ns(snapshot), book, view);
  choose_lanes(shown, !view.right_ns, view.lanes);
  const LaneRows rows(at.lanes, view.lanes);
  canvas.push_clip({inside.x, box.y, inside.w + theme::padding, box.h});
  draw_picture(canvas, at, rows, snapshot, moment, shown);
  draw_lane_names(canvas, rows, at.lanes.x - 8.0F, shown.bars);
  draw_side_names(canvas, at, at.lanes.x - 8.0F);
  const auto swaps = swaps_of(rows, shown);
  draw_swapped(canvas, at.lanes, swaps, picked, std::clamp(rows.step() * 0.42F, 3.0F, 6.0F));
  Intents intents;
  intents.open_finding = draw_pins(canvas, at.pins, pins_of(shown.findings, scale), picked);
  canvas.pop_clip();
  const Box field{at.lanes.x, at.lanes.y, at.lanes.w, inside.bottom() + 6.0F - at.lanes.y};
  const bool clicked = canvas.target("notes.lanes", field);
  intents.pin_ns = take_lanes_pointer(canvas, field, scale, clicked, view);
  return intents;
}

}  // namespace strumwright::screens
