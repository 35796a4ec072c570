// app/screens/wire_figures.cpp
#include "app/screens/wire_figures.h"

#include <algorithm>

#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"
#include "core/midi/status.h"

namespace strumwright::screens {

std::vector<WireFigure> wire_figures(const Snapshot& snapshot, std::uint64_t stray_places) {
  const auto& now = snapshot.now;
  const std::int64_t span_ns = std::max<std::int64_t>(0, now.last_byte_ns - now.first_byte_ns);
  const bool timed = now.grade != wire::Grade::none;
  std::vector<WireFigure> figures = {
      {"bytes", count_text(now.bytes),
       timed ? "in " + duration_text(span_ns + midi::byte_ns) : "without times"},
      {"messages", count_text(now.messages), "complete"},
  };
  if (now.raw) {
    const auto saved_ns = static_cast<std::int64_t>(now.running_used) * midi::byte_ns;
    figures.push_back({"running status used", count_text(now.running_used),
                       "of " + count_text(now.running_possible) + " possible"});
    figures.push_back(
        {"bytes saved", count_text(now.running_used), duration_text(saved_ns) + " of line"});
  } else {
    figures.push_back({"running status", "–", "not to be seen here"});
    figures.push_back({"it could save", count_text(now.running_possible),
                       now.running_possible == 1 ? "byte" : "bytes"});
  }
  figures.push_back({"stray bytes", count_text(now.stray_bytes),
                     stray_places > 0 ? "in " + counted(stray_places, "place") : "",
                     now.stray_bytes > 0});
  figures.push_back({"undefined", count_text(now.undefined), "status bytes", now.undefined > 0});
  figures.push_back({"lost", count_text(now.lost), "on this computer", now.lost > 0});
  return figures;
}

void draw_figures_panel(Canvas& canvas, const Box& box, const std::vector<WireFigure>& figures) {
  const Box inside = draw_panel(canvas, box, {"Since the start", {}, {}});
  const auto name = with_colour(plain(canvas), canvas.palette().ink2);
  float names = 0.0F;
  float numbers = 0.0F;
  for (const auto& figure : figures) {
    names = std::max(names, canvas.width(figure.name, name));
    numbers = std::max(numbers, canvas.width(figure.number, strong(canvas)));
  }
  const bool rest = inside.w >= names + numbers + 110.0F;
  const float right = rest ? inside.x + names + numbers + 16.0F : inside.right();
  float baseline = inside.y + 16.0F;
  const float step =
      std::clamp((inside.h + 4.0F) / static_cast<float>(figures.size()), 19.0F, theme::row_height);
  for (const auto& figure : figures) {
    if (baseline > inside.bottom() + 4.0F) return;
    const float number =
        canvas.text({right, baseline}, figure.number, strong(canvas), Align::right);
    const float used = canvas.first_fit({inside.x, baseline}, right - number - inside.x - 8.0F,
                                        {figure.name}, name);
    if (figure.fault && used > 0.0F) {
      draw_mark(canvas, Mark::error, {inside.x + used + 14.0F, baseline - 4.5F}, 5.0F);
    }
    if (rest) {
      canvas.first_fit({right + 10.0F, baseline}, inside.right() - right - 10.0F, {figure.rest},
                       second(canvas));
    }
    baseline += step;
  }
}

void draw_eye_panel(Canvas& canvas, const Box& box) {
  const Box inside = draw_panel(canvas, box, {"Frame eye", {}, {}});
  canvas.paragraph({inside.x, inside.y + 16.0F}, inside.w,
                   "Bit clock, jitter and margin need a recording of the line itself (logic "
                   "analyser or sound card): bytes alone do not show the edges of their bits.",
                   with_colour(second(canvas), canvas.palette().ink2),
                   std::max(1, static_cast<int>(inside.h / 16.2F)));
}

}  // namespace strumwright::screens
