// app/screens/hear_comb.cpp
#include "app/screens/hear_comb.h"

#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"
#include "app/screens/parts/strum_comb.h"
#include "app/screens/strokes.h"
#include "core/strum/stroke.h"

namespace strumwright::screens {

namespace {

struct Figure {
  const char* name;
  std::string number;
  const char* unit;
};

/// The most telling first: where there is little room the last ones go.
std::vector<Figure> figures_of(const engine::StrokeNow& stroke, const Comb& comb) {
  if (!stroke.timed || comb.rows.size() < 2) return {};
  const double span_ms = static_cast<double>(stroke.span_ns) / 1e6;
  const auto* teeth = stroke.teeth.data();
  const auto starts = std::count_if(teeth, teeth + stroke.tooth_count, [](const auto& tooth) {
    return static_cast<strum::Role>(tooth.role) != strum::Role::doubled;
  });
  std::vector<Figure> figures = {{"span", number_text(span_ms, 1), "ms"}};
  if (stroke.evenness >= 0.0) {
    figures.push_back({"evenness", number_text(stroke.evenness * 100.0, 0), "%"});
  }
  if (starts > 1) {
    const double gap_ms = span_ms / static_cast<double>(starts - 1);
    figures.push_back({"gap, mean", number_text(gap_ms, 2), "ms"});
  }
  figures.push_back({"wire, whole strum", number_text(comb.wire_ms, 2), "ms"});
  return figures;
}

enum class Sample : std::uint8_t { mark, wire, even, ghost };

struct LegendLine {
  Sample sample;
  Mark mark;  ///< of `Sample::mark`
  std::string words;
};

std::vector<LegendLine> legend_of(const Comb& comb, const engine::StrokeNow* ghost) {
  std::vector<LegendLine> lines;
  for (const auto& row : comb.rows) {
    if (!row.again_ms.empty())
      lines.push_back({Sample::mark, Mark::doubled, row_name(comb, row) + " twice"});
    if (row.early)
      lines.push_back({Sample::mark, Mark::neighbour, row_name(comb, row) + " out of order"});
  }
  if (comb.timed && comb.rows.size() > 1) lines.push_back({Sample::wire, {}, "soonest by wire"});
  if (comb.timed && comb.rows.size() > 1) lines.push_back({Sample::even, {}, "an even hand"});
  if (ghost != nullptr) {
    lines.push_back({Sample::ghost, {}, "ghost of " + time_text(ghost->start_ns)});
  }
  return lines;
}

constexpr float figure_step = 40.0F;
constexpr float legend_step = 22.0F;

/// As many as leave room for the legend; returns where they end.
float draw_figures(Canvas& canvas, const Box& side, const std::vector<Figure>& figures,
                   std::size_t legend_lines) {
  const float legend = legend_step * static_cast<float>(std::min<std::size_t>(legend_lines, 4));
  float y = side.y + 14.0F;
  for (const auto& figure : figures) {
    if (y + 24.0F > side.bottom()) break;
    if (y > side.y + 14.0F && y + figure_step + legend > side.bottom() + 8.0F) break;
    canvas.text({side.x, y}, figure.name, label(canvas));
    draw_figure(canvas, {side.x + 104.0F, y + 20.0F}, figure.number, figure.unit,
                strong_lead(canvas));
    y += figure_step;
  }
  return y;
}

void draw_sample(Canvas& canvas, const LegendLine& line, Point at) {
  switch (line.sample) {
    case Sample::mark:
      return draw_mark(canvas, line.mark, {at.x + 6.0F, at.y}, 5.5F);
    case Sample::wire:
      return canvas.dashes(at, {at.x + 13.0F, at.y}, canvas.palette().info, 4.0F, 2.5F, 1.6F);
    case Sample::even:
      return canvas.dashes(at, {at.x + 16.0F, at.y}, canvas.palette().ink2, 1.5F, 4.5F, 1.4F);
    case Sample::ghost:
      return canvas.ring({at.x + 6.0F, at.y}, ghost_radius, canvas.palette().alien, ghost_line);
  }
}

void draw_legend(Canvas& canvas, const Box& side, float y, const std::vector<LegendLine>& lines) {
  if (y + 10.0F > side.bottom() + 2.0F) return;
  canvas.hairline({side.x, y - 10.0F}, {side.right(), y - 10.0F});
  y += 10.0F;
  const float last = side.bottom() + 2.0F;
  for (std::size_t i = 0; i < lines.size() && y <= last; ++i, y += legend_step) {
    const bool rest = y + legend_step > last && i + 1 < lines.size();
    const auto words = rest ? std::to_string(lines.size() - i) + " more" : lines[i].words;
    if (!rest) draw_sample(canvas, lines[i], {side.x, y - 4.0F});
    canvas.first_fit({side.x + 20.0F, y}, side.w - 20.0F, {words}, second(canvas));
  }
}

/// What the head says of the stroke: "01:24.3, up".
std::string stroke_text(const engine::StrokeNow& stroke) {
  auto text = time_text(stroke.start_ns);
  if (!stroke.wire_limited) text += std::string(", ") + direction_text(stroke);
  if (!stroke.final) text += ", still running";
  return text;
}

/// Of a stroke that is not followed: which one, and the way back.
std::string chosen_text(const Canvas& canvas, float width, const engine::StrokeNow& stroke) {
  const auto brief = "strum of " + time_text(stroke.start_ns);
  const auto whole = "strum of " + stroke_text(stroke) + "; End follows again";
  return canvas.width(whole, label(canvas)) <= width ? whole : brief + "; End follows";
}

}  // namespace

void draw_comb_panel(Canvas& canvas, const Box& box, const CombShown& shown,
                     const engine::StrokeNow* ghost, std::int64_t clock_ns) {
  const auto& stroke = shown.stroke;
  const bool any = stroke.tooth_count > 0;
  const auto comb = comb_of(stroke);
  const char* hint = !stroke.timed  ? "order only: the times of this source cannot carry a comb"
                     : comb.strings ? "a tooth a string, up in pitch; along in ms"
                                    : "a tooth a pitch, lowest below; along in ms";
  auto right = any ? stroke_text(stroke) : std::string();
  if (shown.chosen) {
    // The hint gives way: which strum this is matters more.
    right = chosen_text(canvas, box.w - 130.0F, stroke);
    hint = "";
  }
  const Box inside = draw_panel(canvas, box, {"Strum comb", hint, right});
  if (!any) {
    canvas.first_fit(
        {inside.x, inside.y + 20.0F}, inside.w,
        {"Three notes or more in one stroke draw a comb here.", "No stroke of three notes yet."},
        with_colour(plain(canvas), canvas.palette().ink2));
    return;
  }
  const float side_width = box.w >= 420.0F ? 156.0F : 0.0F;
  const Box picture{inside.x, inside.y, inside.w - side_width, inside.h + 4.0F};
  const Comb ghost_comb = ghost != nullptr ? comb_of(*ghost) : Comb{};
  draw_comb(canvas, picture, comb, ghost != nullptr ? &ghost_comb : nullptr, clock_ns);
  if (side_width == 0.0F) return;
  const Box side{inside.right() - 140.0F, inside.y, 140.0F, inside.h};
  const auto lines = legend_of(comb, ghost);
  const float end = draw_figures(canvas, side, figures_of(stroke, comb), lines.size());
  draw_legend(canvas, side, end, lines);
}

}  // namespace strumwright::screens
