// app/screens/wire_ribbon.cpp
#include "app/screens/wire_ribbon.h"

#include <algorithm>
#include <array>
#include <string>

#include "app/engine/history.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/panel.h"
#include "app/screens/parts/time_axis.h"
#include "app/screens/wire_cells.h"
#include "app/screens/wire_page.h"
#include "app/screens/wire_time.h"
#include "core/midi/status.h"

namespace strumwright::screens {

namespace {

constexpr float labels_width = 40.0F;
constexpr float least_overhang = 8.0F;
constexpr float least_pitch = 62.0F;
constexpr float most_pitch = 110.0F;
constexpr int most_rows = 16;  // as much as an eye takes in, and a frame can afford
constexpr float legend_height = 24.0F;
constexpr float columns_below = 4.5F;  // narrower bytes are counted, not drawn
constexpr float button_size = 24.0F;

/// Legend and buttons go where a single row would be squeezed by them.
float foot_height(const Box& inside) {
  return inside.h >= least_pitch + legend_height ? legend_height : 0.0F;
}

RibbonRows rows_in(const Box& inside, int zoom) {
  RibbonRows rows;
  const float high = std::max(1.0F, inside.h - foot_height(inside));
  rows.count = std::clamp(static_cast<int>(high / least_pitch), 1, most_rows);
  rows.pitch = std::min(most_pitch, high / static_cast<float>(rows.count));
  rows.fit_width = inside.w - labels_width - least_overhang;
  rows.row_ns = row_ns_for(rows.fit_width, zoom);
  // A byte that begins at a row's end is drawn whole, so its width is left free.
  const double byte_share = static_cast<double>(midi::byte_ns) / static_cast<double>(rows.row_ns);
  const float wide =
      std::min(rows.fit_width, (inside.w - labels_width) / static_cast<float>(1.0 + byte_share));
  rows.plot = {inside.x + labels_width, inside.y, wide,
               rows.pitch * static_cast<float>(rows.count)};
  return rows;
}

std::string row_text(std::int64_t row_ns) {
  return row_ns < 1'000'000'000 ? number_text(static_cast<double>(row_ns) / 1e6, 0) + " ms a row"
                                : number_text(static_cast<double>(row_ns) / 1e9, 1) + " s a row";
}

/// "stroke of 01:24.3; 16 ms a row"
std::string from_text(const Snapshot& snapshot, const WireView& view, const RibbonRows& rows) {
  const auto& stroke = snapshot.now.stroke;
  const bool follows = !view.from_ns && stroke.serial > 0 && rows.row_of(stroke.start_ns) == 0;
  const std::int64_t at_ns = follows ? stroke.start_ns : rows.from_ns;
  const bool timed = snapshot.now.grade != wire::Grade::none;
  return (follows ? "stroke of " : "from ") + time_text(at_ns) + "; " + row_text(rows.row_ns) +
         (timed ? "" : "; no times, bytes laid end to end");
}

/// Larger and smaller, at the right of the foot; moves `view.zoom`.
void draw_zoom_buttons(Canvas& canvas, const Box& inside, const RibbonRows& rows, WireView& view) {
  const float y = inside.bottom() + 8.0F - button_size;
  const Box in{inside.right() - button_size, y, button_size, button_size};
  const Box out{in.x - button_size - 6.0F, y, button_size, button_size};
  const bool nearer = draw_button(canvas, "wire.zoom-in", in, "+");
  const bool farther = draw_button(canvas, "wire.zoom-out", out, "−");
  const int step = static_cast<int>(farther) - static_cast<int>(nearer);
  if (step == 0 || row_ns_for(rows.fit_width, view.zoom + step) == rows.row_ns) return;
  view.zoom += step;
  canvas.keep_moving();
}

struct Sample {
  enum class Kind : std::uint8_t { cell, ghost, gap };
  Kind kind;
  ByteRole role;
  const char* words;
};
constexpr std::array<Sample, 7> samples = {{
    {Sample::Kind::cell, ByteRole::status, "status"},
    {Sample::Kind::cell, ByteRole::data, "data"},
    {Sample::Kind::ghost, ByteRole::status, "status left out: running status"},
    {Sample::Kind::cell, ByteRole::stray, "belongs to nothing"},
    {Sample::Kind::cell, ByteRole::sysex, "SysEx"},
    {Sample::Kind::cell, ByteRole::real_time, "real-time"},
    {Sample::Kind::gap, ByteRole::data, "gap in ms"},
}};

void draw_legend(Canvas& canvas, Point at, float right, bool whole) {
  for (const auto& sample : samples) {
    if (whole && sample.kind == Sample::Kind::ghost) continue;
    const float wide = canvas.width(sample.words, second(canvas));
    if (at.x + 24.0F + wide > right) return;
    const Box box{at.x, at.y - 11.0F, 16.0F, 14.0F};
    if (sample.kind == Sample::Kind::cell) draw_cell_sample(canvas, box, sample.role, whole);
    if (sample.kind == Sample::Kind::ghost) draw_ghost_sample(canvas, box);
    if (sample.kind == Sample::Kind::gap) {
      canvas.text({at.x - 4.0F, at.y}, "4.1", second(canvas));
    }
    canvas.text({at.x + 24.0F, at.y}, sample.words, second(canvas));
    at.x += 24.0F + wide + 22.0F;
  }
}

void draw_foot(Canvas& canvas, const Box& inside, const RibbonCells& cells, int under,
               bool columns) {
  const Point at{inside.x + labels_width, inside.bottom() + 2.0F};
  const float right = inside.right() - 2.0F * button_size - 18.0F;
  const float room = right - at.x;
  if (under >= 0) {
    const auto words = byte_words(cells.page, under);
    const auto style = with_colour(second(canvas), canvas.palette().ink);
    canvas.text(at, canvas.shortened(words, style, room), style);
  } else if (columns) {
    canvas.first_fit(at, room,
                     {"bytes in each millisecond: bright the least, dull the most in a column; "
                      "zoom in for single bytes",
                      "bytes a millisecond; zoom in for single bytes"},
                     second(canvas));
  } else {
    draw_legend(canvas, at, right, cells.whole);
  }
}

/// Why the ribbon is grey, with the way to a source that shows more. Returns what is left.
Box draw_whole_note(Canvas& canvas, const Box& inside, Intents& intents) {
  constexpr const char* word = "Choose a raw source";
  const float wide = button_width(canvas, word);
  const bool button = inside.w >= wide + 200.0F;
  const float room = inside.w - (button ? wide + 16.0F : 0.0F);
  const auto style = with_colour(second(canvas), canvas.palette().ink);
  if (inside.h < 150.0F) {
    canvas.first_fit({inside.x, inside.y + 10.0F}, inside.w,
                     {"whole messages: running status cannot be seen here", "whole messages only"},
                     style);
    return inside.without_top(16.0F);
  }
  const std::string text =
      "This source hands over whole messages, so running status cannot be seen here: the bytes "
      "stand as the messages would take them. A serial line or a raw MIDI device shows the wire.";
  const int lines = std::min(3, canvas.line_count(room, text, style));
  canvas.paragraph({inside.x, inside.y + 12.0F}, room, text, style, 3);
  const float high =
      std::max(theme::button_height + 4.0F, 16.2F * static_cast<float>(lines) + 6.0F);
  if (button) {
    const Box place{inside.right() - wide, inside.y, wide, theme::button_height};
    intents.choose_source = draw_button(canvas, "wire.choose-raw", place, word);
  }
  return inside.without_top(high);
}

void draw_moment(Canvas& canvas, const RibbonRows& rows, const Moment& moment) {
  if (!moment.pinned()) return;
  const int row = rows.row_of(*moment.pinned_ns);
  if (row < 0 || row >= rows.count) return;
  const float y = rows.y_of(row);
  canvas.fill(
      {rows.x_of(*moment.pinned_ns) - 1.0F, y - rows.pitch * 0.46F, 2.0F, rows.pitch * 0.92F},
      canvas.palette().brass);
}

}  // namespace

Intents draw_ribbon_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                          const Moment& moment, WireView& view) {
  Intents intents;
  const bool whole = !snapshot.now.raw;
  constexpr const char* heading = "Byte ribbon";
  constexpr const char* ways = "wheel zooms, drag moves";
  Box inside = draw_panel(canvas, box, {heading, {}, ways});
  if (whole) inside = draw_whole_note(canvas, inside, intents);
  auto rows = rows_in(inside, view.zoom);
  const Box field = rows.plot;
  place_ribbon(canvas, field, snapshot, moment, rows, view);
  // Only now is it known from when the rows are.
  const float left = inside.x + canvas.width(heading, title(canvas)) + 10.0F;
  const float room = inside.right() - canvas.width(ways, label(canvas)) - 16.0F - left;
  const auto from = from_text(snapshot, view, rows);
  const bool columns = rows.byte_width() < columns_below;
  const auto whole_text = columns ? from : from + "; a cell is one byte, 320 µs";
  canvas.first_fit({left, box.y + 21.0F}, room, {whole_text, from}, label(canvas));
  const auto page = read_wire_page(snapshot.history, rows.from_ns, rows.from_ns + rows.page_ns());
  const RibbonCells cells{page, rows, whole};
  draw_row_axes(canvas, rows);
  draw_moment(canvas, rows, moment);
  int under = -1;
  if (columns) {
    draw_columns(canvas, cells);
  } else {
    under = draw_cells(canvas, cells);
  }
  if (foot_height(inside) > 0.0F) {
    draw_foot(canvas, inside, cells, under, columns);
    draw_zoom_buttons(canvas, inside, rows, view);
  }
  const bool clicked = canvas.target("wire.ribbon", field);
  intents.pin_ns = take_ribbon_pointer(canvas, field, rows, clicked, view);
  return intents;
}

}  // namespace strumwright::screens
