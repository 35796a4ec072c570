// app/screens/notes_endings.cpp
#include "app/screens/notes_endings.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/screens/parts/panel.h"
#include "core/notes/note_fact.h"

namespace strumwright::screens {

namespace {

constexpr float hatch_step = 7.0F;

/// Slanted stripes that stay inside the box: cheaper than clipping, for bars as wide as the window.
void draw_hatch(Canvas& canvas, const Box& box, theme::Colour colour) {
  const int stripes = static_cast<int>(std::ceil(box.w / hatch_step));
  for (int i = 0; i < stripes; ++i) {
    const float x = box.x + hatch_step * static_cast<float>(i);
    const float run = std::min(box.h, box.right() - x);
    if (run < 1.0F) return;
    canvas.line({x, box.bottom()}, {x + run, box.bottom() - run}, colour, 1.6F);
  }
}

void draw_hanging_bar(Canvas& canvas, const Box& box) {
  const auto& palette = canvas.palette();
  canvas.fill(box, theme::mixed(palette.panel, palette.error, 0.45));
  draw_hatch(canvas, box, palette.error);
  canvas.outline(box, palette.error, 1.0F);
}

void draw_slant(Canvas& canvas, const Box& box, theme::Colour colour) {
  const float cut = std::min(box.h, box.w);
  const std::array<Point, 4> points = {{{box.x, box.y},
                                        {box.right() - cut, box.y},
                                        {box.right(), box.bottom()},
                                        {box.x, box.bottom()}}};
  canvas.polygon(points, colour);
}

void draw_round(Canvas& canvas, const Box& box, theme::Colour colour) {
  const float radius = box.h / 2.0F;
  if (box.w <= box.h) return canvas.fill(box, colour, std::min(radius, box.w / 2.0F));
  canvas.fill(box.left(box.w - radius), colour);
  canvas.fill({box.right() - box.h, box.y, box.h, box.h}, colour, radius);
}

void draw_chevron(Canvas& canvas, Point tip, float height) {
  const float half = std::max(3.0F, height * 0.62F);
  const std::array<Point, 3> points = {
      {{tip.x - half, tip.y - half}, {tip.x, tip.y}, {tip.x - half, tip.y + half}}};
  const auto& palette = canvas.palette();
  if (palette.light) canvas.polygon_line(points, palette.ink, 3.4F, false);
  canvas.polygon_line(points, palette.warning, 1.8F, false);
}

/// What stands at the end of a bar, over its ground.
void draw_end(Canvas& canvas, const Box& box, EndShape shape) {
  const auto& palette = canvas.palette();
  if (shape == EndShape::again) draw_chevron(canvas, {box.right(), box.centre().y}, box.h);
  if (shape == EndShape::velocity_zero) {
    canvas.fill({box.right() - 1.0F, box.y - 1.5F, 2.0F, box.h + 3.0F}, palette.ink2);
  }
}

void draw_ground(Canvas& canvas, const Box& box, EndShape shape, theme::Colour colour) {
  if (shape == EndShape::note_off) return draw_round(canvas, box, colour);
  if (shape == EndShape::all_off) return draw_slant(canvas, box, colour);
  canvas.fill(box, colour);
}

struct Row {
  std::uint8_t ending;
  bool hangs;
  const char* words;
};

constexpr std::array<Row, 6> rows = {{
    {static_cast<std::uint8_t>(notes::Ending::velocity_zero), false, "released by velocity zero"},
    {static_cast<std::uint8_t>(notes::Ending::note_off), false, "released by a note-off"},
    {static_cast<std::uint8_t>(notes::Ending::mode_message), false, "all notes off, or link lost"},
    {engine::NoteSpan::started_again, false, "started again while on"},
    {NoteBar::down, false, "sounds now"},
    {NoteBar::down, true, "should have ended"},
}};

}  // namespace

EndShape end_shape(const NoteBar& bar) {
  if (bar.is_down()) return EndShape::open;
  if (bar.ending == engine::NoteSpan::started_again) return EndShape::again;
  switch (static_cast<notes::Ending>(bar.ending)) {
    case notes::Ending::velocity_zero:
      return EndShape::velocity_zero;
    case notes::Ending::note_off:
      return EndShape::note_off;
    default:
      return EndShape::all_off;
  }
}

void draw_note_bar(Canvas& canvas, const Box& box, const NoteBar& bar, bool ends) {
  const auto& palette = canvas.palette();
  const auto shape = ends ? end_shape(bar) : EndShape::open;
  if (bar.hangs) {
    draw_hanging_bar(canvas, box);
  } else {
    draw_ground(canvas, box, shape, bar.is_down() ? palette.brass : palette.rest);
  }
  draw_end(canvas, box, shape);
}

void draw_missed_release(Canvas& canvas, Point at, float radius) {
  const std::array<Point, 4> points = {
      {{at.x, at.y - radius}, {at.x + radius, at.y}, {at.x, at.y + radius}, {at.x - radius, at.y}}};
  canvas.polygon(points, canvas.palette().panel);
  canvas.polygon_line(points, canvas.palette().error_text, 1.6F, true);
}

float endings_height() {
  return panel_head_height + theme::padding +
         theme::row_height * static_cast<float>(rows.size() + 1);
}

void draw_endings_panel(Canvas& canvas, const Box& box) {
  const Box inside = draw_panel(canvas, box, {"How a note ended", {}, {}});
  float y = inside.y;
  const auto room = [&] { return y + theme::row_height <= inside.bottom() + 4.0F; };
  for (const auto& row : rows) {
    if (!room()) return;
    NoteBar bar;
    bar.ending = row.ending;
    bar.hangs = row.hangs;
    draw_note_bar(canvas, {inside.x, y + 6.0F, 32.0F, 9.0F}, bar, true);
    canvas.first_fit({inside.x + 44.0F, y + 15.0F}, inside.w - 44.0F, {row.words}, second(canvas));
    y += theme::row_height;
  }
  if (!room()) return;
  draw_missed_release(canvas, {inside.x + 16.0F, y + 10.5F}, 5.0F);
  canvas.first_fit({inside.x + 44.0F, y + 15.0F}, inside.w - 44.0F, {"release that hit no note"},
                   second(canvas));
}

}  // namespace strumwright::screens
