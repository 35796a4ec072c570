// app/screens/wire_load.cpp
#include "app/screens/wire_load.h"

#include <algorithm>
#include <string>
#include <vector>

#include "app/engine/history.h"
#include "app/screens/notes_time.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/panel.h"
#include "app/screens/parts/time_axis.h"

namespace strumwright::screens {

using engine::LoadColumn;

namespace {

constexpr float column_width = 4.0F;
constexpr float numbers_width = 34.0F;
constexpr double warns_at = 0.9;  // rule wire.load

/// Bytes of each column of the stretch.
std::vector<std::uint32_t> columns_between(const engine::History& history, std::int64_t from_ns,
                                           std::size_t count) {
  std::vector<std::uint32_t> columns(count);
  const auto view = history.load.view();
  const std::int64_t to_ns = from_ns + static_cast<std::int64_t>(count) * LoadColumn::width_ns;
  for (auto i = view.at_or_after(from_ns); i < view.end() && view[i].t_ns < to_ns; ++i) {
    if (view[i].t_ns < from_ns) continue;
    columns[static_cast<std::size_t>((view[i].t_ns - from_ns) / LoadColumn::width_ns)] +=
        view[i].bytes;
  }
  return columns;
}

/// The end of the stretch: now, or far enough right of a frozen moment.
std::int64_t end_of(const Snapshot& snapshot, const Moment& moment, std::int64_t span_ns) {
  const std::int64_t now_ns = followed_ns(snapshot);
  std::int64_t end_ns = now_ns;
  if (moment.pinned()) end_ns = std::min(now_ns, *moment.pinned_ns + span_ns / 2);
  end_ns = (end_ns / LoadColumn::width_ns + 1) * LoadColumn::width_ns;
  return std::max(end_ns, span_ns);
}

void draw_grid(Canvas& canvas, const Box& plot) {
  for (const int percent : {0, 50, 100}) {
    const float y = plot.bottom() - plot.h * static_cast<float>(percent) / 100.0F;
    canvas.hairline({plot.x, y}, {plot.right(), y});
    if (percent == 50 && plot.h < 50.0F) continue;
    canvas.text({plot.x - 8.0F, y + 4.5F}, std::to_string(percent), label(canvas), Align::right);
  }
}

void draw_limit(Canvas& canvas, const Box& plot) {
  const float y = plot.bottom() - plot.h * static_cast<float>(warns_at);
  const auto colour = canvas.palette().light ? canvas.palette().ink2 : canvas.palette().warning;
  canvas.dashes({plot.x, y}, {plot.right(), y}, colour, 5.0F, 3.0F, 1.4F);
  if (plot.h < 60.0F) return;
  constexpr const char* words = "warns at 90 %";
  const float wide = canvas.width(words, second(canvas));
  if (wide + 8.0F > plot.w) return;
  canvas.fill({plot.right() - wide - 4.0F, y + 4.0F, wide + 4.0F, 14.0F}, canvas.palette().panel);
  canvas.text({plot.right(), y + 15.0F}, words, second(canvas), Align::right);
}

void draw_columns(Canvas& canvas, const Box& plot, const std::vector<std::uint32_t>& columns) {
  const auto& palette = canvas.palette();
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (columns[i] == 0) continue;
    const double load = static_cast<double>(columns[i]) / LoadColumn::full_bytes;
    // Beyond the line's own rate a column is cut at the top; its figure stands in the strip.
    const float high = std::max(1.5F, plot.h * static_cast<float>(std::min(load, 1.06)));
    const float x = plot.x + column_width * static_cast<float>(i);
    canvas.fill({x, plot.bottom() - high, column_width - 1.0F, high},
                load > warns_at ? palette.warning : palette.brass);
  }
}

std::string span_text(std::int64_t from_ns, std::int64_t to_ns) {
  return clock_text(from_ns) + " to " + time_text(to_ns);
}

}  // namespace

Intents draw_load_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                        const Moment& moment, WireView& view) {
  Intents intents;
  const float wide = box.w - 2.0F * theme::padding - numbers_width;
  const auto count = static_cast<std::size_t>(std::max(1.0F, wide / column_width));
  const std::int64_t span_ns = static_cast<std::int64_t>(count) * LoadColumn::width_ns;
  const std::int64_t to_ns = end_of(snapshot, moment, span_ns);
  const std::int64_t from_ns = to_ns - span_ns;
  view.load_from_ns = from_ns;
  view.load_to_ns = to_ns;
  const bool timed = snapshot.now.grade != wire::Grade::none;
  const auto right = timed ? span_text(from_ns, to_ns) : std::string();
  const Box inside = draw_panel(canvas, box, {"Line load", "% of each 100 ms", right});
  if (!timed) {
    canvas.paragraph({inside.x, inside.y + 16.0F}, inside.w,
                     "This source has no times, so no load can be told.",
                     with_colour(plain(canvas), canvas.palette().ink2), 3);
    return intents;
  }
  if (!moment.pinned()) ask_to_follow(canvas, snapshot);
  const float columns_wide = column_width * static_cast<float>(count);
  const Box plot{inside.x + numbers_width, inside.y + 10.0F, columns_wide,
                 std::max(20.0F, inside.h - 32.0F)};
  const TimeScale scale{from_ns, to_ns, plot.x, plot.w};
  draw_grid(canvas, plot);
  draw_columns(canvas, plot, columns_between(snapshot.history, from_ns, count));
  if (moment.pinned()) draw_moment_rule(canvas, scale, plot, *moment.pinned_ns);
  draw_limit(canvas, plot);
  canvas.first_fit({plot.x, inside.bottom() + 4.0F}, plot.w,
                   {"click: freeze Hear, Notes and Wire there", "click freezes a moment"},
                   label(canvas));
  if (canvas.target("wire.load", plot)) {
    intents.pin_ns = std::clamp<std::int64_t>(scale.when(canvas.input().pointer.x), 0, to_ns);
  }
  return intents;
}

}  // namespace strumwright::screens
