// app/screens/parts/marks.cpp
#include "app/screens/parts/marks.h"

#include <array>

namespace strumwright::screens {

using theme::Colour;

namespace {

constexpr float light_outline = 1.2F;

void solid(Canvas& canvas, std::span<const Point> points, Colour colour) {
  canvas.polygon(points, colour);
  if (canvas.palette().light)
    canvas.polygon_line(points, canvas.palette().ink, light_outline, true);
}

void solid_disc(Canvas& canvas, Point at, float radius, Colour colour) {
  canvas.disc(at, radius, colour);
  if (canvas.palette().light) canvas.ring(at, radius, canvas.palette().ink, light_outline);
}

void diamond(Canvas& canvas, Point c, float r, Colour colour) {
  const std::array<Point, 4> points = {
      {{c.x, c.y - r}, {c.x + r, c.y}, {c.x, c.y + r}, {c.x - r, c.y}}};
  solid(canvas, points, colour);
}

std::array<Point, 3> triangle_points(Point c, float r) {
  return {{{c.x, c.y - r}, {c.x + r, c.y + r * 0.8F}, {c.x - r, c.y + r * 0.8F}}};
}

void tick(Canvas& canvas, Point c, float r, Colour colour) {
  canvas.disc(c, r, colour);
  const std::array<Point, 3> points = {{{c.x - r * 0.47F, c.y + r * 0.02F},
                                        {c.x - r * 0.1F, c.y + r * 0.4F},
                                        {c.x + r * 0.5F, c.y - r * 0.43F}}};
  canvas.polygon_line(points, theme::colour(0xFFFFFF), r * 0.27F, false);
}

void ring_with_dot(Canvas& canvas, Point c, float r, Colour colour) {
  canvas.ring(c, r * 0.9F, colour, r * 0.34F);
  canvas.disc(c, r * 0.38F, colour);
}

void arrow_head(Canvas& canvas, Point c, float r, Colour colour) {
  const std::array<Point, 3> points = {
      {{c.x - r, c.y - r * 0.95F}, {c.x + r, c.y}, {c.x - r, c.y + r * 0.95F}}};
  solid(canvas, points, colour);
}

void struck_ring(Canvas& canvas, Point c, float r) {
  const auto& palette = canvas.palette();
  const Colour colour = palette.light ? palette.ink : palette.warning;
  canvas.dashed_ring(c, r * 0.9F, colour, r * 0.3F, 6);
  canvas.line({c.x - r * 0.5F, c.y + r * 0.5F}, {c.x + r * 0.5F, c.y - r * 0.5F}, colour, r * 0.3F);
}

}  // namespace

void draw_mark(Canvas& canvas, Mark mark, Point c, float r) {
  const auto& palette = canvas.palette();
  switch (mark) {
    case Mark::error:
      return diamond(canvas, c, r * 1.1F, palette.error);
    case Mark::warning:
      return solid(canvas, triangle_points(c, r), palette.warning);
    case Mark::info:
      return solid_disc(canvas, c, r * 0.9F, palette.info);
    case Mark::in_order:
      return tick(canvas, c, r, palette.good);
    case Mark::start:
      return canvas.disc(c, r, palette.glow);
    case Mark::doubled:
      return ring_with_dot(canvas, c, r, palette.light ? palette.ink : palette.warning);
    case Mark::skipped:
      return canvas.dashed_ring(c, r * 0.9F, palette.ink, r * 0.28F, 8);
    case Mark::neighbour:
      return arrow_head(canvas, c, r, palette.alien);
    case Mark::whole:
      return ring_with_dot(canvas, c, r, palette.good);
    case Mark::simulated:
      return canvas.polygon_line(triangle_points(c, r), palette.info, r * 0.27F, true);
    case Mark::gone:
      return struck_ring(canvas, c, r);
    case Mark::file:
      return canvas.outline({c.x - r * 0.85F, c.y - r * 0.85F, r * 1.7F, r * 1.7F}, palette.ink2,
                            1.6F);
    case Mark::waiting:
      return canvas.ring(c, r * 0.9F, palette.edge, 1.6F);
    case Mark::recording:
      return solid_disc(canvas, c, r, palette.error);
  }
}

Mark mark_of(diagnosis::Severity severity) {
  switch (severity) {
    case diagnosis::Severity::error:
      return Mark::error;
    case diagnosis::Severity::warning:
      return Mark::warning;
    case diagnosis::Severity::info:
      break;
  }
  return Mark::info;
}

void draw_heading(Canvas& canvas, Heading heading, Point c, Colour colour, float scale) {
  if (heading == Heading::mixed) {
    draw_heading(canvas, Heading::up, {c.x - 3.5F * scale, c.y}, colour, scale * 0.8F);
    draw_heading(canvas, Heading::down, {c.x + 3.5F * scale, c.y}, colour, scale * 0.8F);
    return;
  }
  const float to = heading == Heading::up ? -6.0F * scale : 6.0F * scale;
  const float wing = 4.0F * scale;
  const float thick = 1.8F * scale;
  canvas.line({c.x, c.y - to}, {c.x, c.y + to * 0.85F}, colour, thick);
  const std::array<Point, 3> points = {
      {{c.x - wing, c.y + to * 0.2F}, {c.x, c.y + to}, {c.x + wing, c.y + to * 0.2F}}};
  canvas.polygon_line(points, colour, thick, false);
}

void draw_logo(Canvas& canvas, Point at) {
  for (int i = 0; i < 5; ++i) {
    const auto k = static_cast<float>(i);
    const float y = at.y + 17.0F - 4.0F * k;
    canvas.line({at.x + 2.2F * k, y}, {at.x + 7.0F + 3.6F * k, y}, canvas.palette().brass, 2.2F);
  }
}

}  // namespace strumwright::screens
