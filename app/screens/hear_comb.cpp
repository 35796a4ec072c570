// app/screens/hear_comb.cpp
#include "app/screens/hear_comb.h"

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

struct Figure {
  const char* name;
  std::string number;
  const char* unit;
};

std::vector<Figure> figures_of(const engine::StrokeNow& stroke, const Comb& comb) {
  if (!stroke.timed || comb.rows.size() < 2) return {};
  const double span_ms = static_cast<double>(stroke.span_ns) / 1e6;
  std::size_t starts = 0;
  for (std::size_t i = 0; i < stroke.tooth_count; ++i) starts += stroke.teeth[i].role != 2;
  std::vector<Figure> figures = {{"span", number_text(span_ms, 1), "ms"}};
  if (starts > 1) {
    figures.push_back(
        {"mean gap", number_text(span_ms / static_cast<double>(starts - 1), 2), "ms"});
  }
  if (stroke.evenness >= 0.0) {
    figures.push_back({"evenness", number_text(stroke.evenness * 100.0, 0), "%"});
  }
  figures.push_back({"the wire alone", number_text(comb.wire_ms, 2), "ms"});
  return figures;
}

struct LegendLine {
  Mark mark;
  std::string words;
};

std::vector<LegendLine> legend_of(const Comb& comb) {
  std::vector<LegendLine> lines;
  for (const auto& row : comb.rows) {
    if (!row.again_ms.empty()) lines.push_back({Mark::doubled, row_name(comb, row) + " twice"});
    if (row.early) lines.push_back({Mark::neighbour, row_name(comb, row) + " out of order"});
  }
  return lines;
}

float draw_figures(Canvas& canvas, const Box& side, const std::vector<Figure>& figures) {
  float y = side.y + 14.0F;
  for (const auto& figure : figures) {
    if (y + 22.0F > side.bottom()) break;
    canvas.text({side.x, y}, figure.name, label(canvas));
    draw_figure(canvas, {side.x + 104.0F, y + 18.0F}, figure.number, figure.unit,
                strong_lead(canvas));
    y += 40.0F;
  }
  return y;
}

void draw_legend(Canvas& canvas, const Box& side, float y, const Comb& comb) {
  if (y + 10.0F < side.bottom()) canvas.hairline({side.x, y - 10.0F}, {side.right(), y - 10.0F});
  y += 10.0F;
  const auto lines = legend_of(comb);
  const float last = side.bottom() - (comb.timed ? 22.0F : 0.0F);
  for (std::size_t i = 0; i < lines.size() && y <= last; ++i, y += 22.0F) {
    const bool rest = y + 22.0F > last && i + 1 < lines.size();
    const auto words = rest ? std::to_string(lines.size() - i) + " more" : lines[i].words;
    if (!rest) draw_mark(canvas, lines[i].mark, {side.x + 6.0F, y - 4.0F}, 5.5F);
    canvas.first_fit({side.x + 20.0F, y}, side.w - 20.0F, {words}, second(canvas));
  }
  if (!comb.timed || y > side.bottom()) return;
  canvas.dashes({side.x, y - 4.0F}, {side.x + 13.0F, y - 4.0F}, canvas.palette().info, 4.0F, 2.5F,
                1.6F);
  canvas.first_fit({side.x + 20.0F, y}, side.w - 20.0F, {"soonest by wire"}, second(canvas));
}

/// What the head says of the stroke: "01:24.3, up".
std::string stroke_text(const engine::StrokeNow& stroke) {
  auto text = time_text(stroke.start_ns);
  if (!stroke.wire_limited) text += std::string(", ") + direction_text(stroke);
  if (!stroke.final) text += ", still running";
  return text;
}

}  // namespace

void draw_comb_panel(Canvas& canvas, const Box& box, const engine::StrokeNow& stroke,
                     const engine::StrokeNow* ghost, std::int64_t clock_ns) {
  const bool any = stroke.tooth_count > 0;
  const auto comb = comb_of(stroke);
  const char* hint = !stroke.timed  ? "order only: the times of this source cannot carry a comb"
                     : comb.strings ? "a tooth a string, up in pitch; along in ms"
                                    : "a tooth a pitch, lowest below; along in ms";
  const auto right = any ? stroke_text(stroke) : std::string();
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
  draw_legend(canvas, side, draw_figures(canvas, side, figures_of(stroke, comb)), comb);
}

}  // namespace strumwright::screens
