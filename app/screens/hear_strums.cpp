// app/screens/hear_strums.cpp
#include "app/screens/hear_strums.h"

#include <algorithm>
#include <string>
#include <vector>

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"
#include "app/screens/parts/strum_comb.h"
#include "app/screens/strokes.h"

namespace strumwright::screens {

namespace {

Heading heading_of(const engine::StrokeNow& stroke) {
  const std::string text = direction_text(stroke);
  return text == "up" ? Heading::up : text == "down" ? Heading::down : Heading::mixed;
}

/// Chord, arrow, direction, time; the direction in words goes first where there is little room.
void draw_strum_head(Canvas& canvas, const Box& cell, const engine::StrokeNow& stroke) {
  auto name = chord_text(stroke.chord);
  if (name.empty()) name = "–";
  const float baseline = cell.y + 14.0F;
  const auto time = time_text(stroke.start_ns);
  // All cells show their time, or none; a long name gives way to it.
  const float kept = cell.w < 150.0F ? 0.0F : canvas.width(time, label(canvas)) + 10.0F;
  const float right = cell.right() - kept;
  const float room = right - cell.x - 26.0F;
  const bool large = canvas.width(name, strong_lead(canvas)) <= room;
  const auto style = large ? strong_lead(canvas) : strong(canvas);
  float x = cell.x + canvas.text({cell.x, baseline}, canvas.shortened(name, style, room), style);
  if (kept > 0.0F) {
    canvas.text({cell.right(), baseline - 1.0F}, time, label(canvas), Align::right);
  }
  if (stroke.wire_limited) return;
  x += 12.0F;
  draw_heading(canvas, heading_of(stroke), {x, baseline - 6.0F}, canvas.palette().ink2);
  x += 11.0F;
  canvas.first_fit({x, baseline - 1.0F}, right - x, {direction_text(stroke)}, second(canvas));
}

void draw_figures(Canvas& canvas, const Box& cell, float baseline,
                  const engine::StrokeNow& stroke) {
  if (!stroke.timed) {
    canvas.first_fit({cell.x, baseline}, cell.w, {"times not judged", "no times"}, label(canvas));
    return;
  }
  const float used = canvas.text({cell.x, baseline}, duration_text(stroke.span_ns),
                                 with_colour(second(canvas), canvas.palette().ink));
  const auto even = stroke.evenness < 0.0
                        ? std::string(stroke.wire_limited ? "as the wire" : "")
                        : "even " + number_text(stroke.evenness * 100.0, 0) + " %";
  canvas.first_fit({cell.right(), baseline}, cell.w - used - 8.0F, {even}, second(canvas),
                   Align::right);
}

/// Marks of what went wrong with the pitch beside each, or that it was clean.
void draw_verdict(Canvas& canvas, const Box& cell, float baseline, const Comb& comb) {
  float x = cell.x;
  bool any = false;
  for (const auto& row : comb.rows) {
    if (row.again_ms.empty() && !row.early) continue;
    any = true;
    const auto name = comb.strings ? "s" + std::to_string(row.place) : note_name(row.note);
    if (x + 14.0F + canvas.width(name, second(canvas)) > cell.right()) break;
    draw_mark(canvas, row.again_ms.empty() ? Mark::neighbour : Mark::doubled,
              {x + 4.0F, baseline - 4.0F}, 4.0F);
    x += 12.0F;
    x += canvas.text({x, baseline}, name, second(canvas)) + 9.0F;
  }
  if (!any) {
    canvas.text({cell.x, baseline}, "clean",
                with_colour(second(canvas), canvas.palette().good_text));
  }
}

}  // namespace

std::size_t strums_for(float width) {
  // Where there is room each also shows when it was.
  return static_cast<std::size_t>(
      std::clamp(width / (width >= 1000.0F ? 172.0F : 145.0F), 1.0F, 12.0F));
}

std::span<const engine::StrokeNow> strums_in_sight(std::span<const engine::StrokeNow> strums,
                                                   std::size_t columns, std::uint64_t chosen) {
  if (strums.size() <= columns) return strums;
  const auto at = std::find_if(strums.begin(), strums.end(),
                               [&](const auto& stroke) { return stroke.serial == chosen; });
  const auto index = static_cast<std::size_t>(at - strums.begin());
  return strums.subspan(std::min(index, strums.size() - columns), columns);
}

std::optional<std::uint64_t> draw_strums_panel(Canvas& canvas, const Box& box,
                                               std::span<const engine::StrokeNow> strums,
                                               std::uint64_t chosen) {
  const char* keys =
      strums.empty() ? "" : "Left and Right step through, Enter lays one under the next";
  const Box inside = draw_panel(canvas, box, {"Last strums", {}, keys});
  const auto columns = strums_for(box.w);
  const auto newest = strums.empty() ? 0 : strums.back().serial;
  strums = strums_in_sight(strums, columns, chosen);
  double most_ms = 1.0;
  std::vector<Comb> combs;
  for (const auto& stroke : strums) {
    combs.push_back(comb_of(stroke));
    most_ms = std::max(most_ms, combs.back().longest_ms);
  }
  const float step = inside.w / static_cast<float>(columns);
  std::optional<std::uint64_t> clicked;
  for (std::size_t i = 0; i < strums.size(); ++i) {
    const Box column{inside.x + static_cast<float>(i) * step, inside.y, step, inside.h};
    const Box cell{column.x, column.y, step - 16.0F, column.h};
    const Box around{cell.x - 6.0F, cell.y - 4.0F, cell.w + 12.0F, cell.h + 10.0F};
    if (strums[i].serial == chosen || canvas.hovers(around)) {
      canvas.fill(around, canvas.palette().raised, theme::radius);
    }
    if (strums[i].serial == chosen) {
      canvas.outline(around, canvas.palette().brass, 1.5F, theme::radius);
    }
    if (i > 0) canvas.hairline({cell.x - 8.0F, cell.y}, {cell.x - 8.0F, cell.bottom()});
    draw_strum_head(canvas, cell, strums[i]);
    const float foot = cell.bottom() - 34.0F;
    draw_small_comb(canvas, {cell.x + 3.0F, cell.y + 24.0F, cell.w - 8.0F, foot - cell.y - 24.0F},
                    combs[i], most_ms, strums[i].serial == newest);
    draw_figures(canvas, cell, cell.bottom() - 16.0F, strums[i]);
    draw_verdict(canvas, cell, cell.bottom() + 1.0F, combs[i]);
    if (canvas.target("strum." + std::to_string(strums[i].serial), around)) {
      clicked = strums[i].serial;
    }
  }
  return clicked;
}

}  // namespace strumwright::screens
