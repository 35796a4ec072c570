// app/screens/parts/time_axis.cpp
#include "app/screens/parts/time_axis.h"

#include <algorithm>

#include "app/screens/parts/figures.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

namespace {

constexpr std::int64_t second_ns = 1'000'000'000;
constexpr float tick_room = 84.0F;  // units a label needs with air around it

}  // namespace

TimeTicks time_ticks(std::int64_t span_ns, int marks) {
  int decimals = 6;
  for (std::int64_t power = 1'000; power <= second_ns; power *= 10, --decimals) {
    for (const std::int64_t factor : {1, 2, 5}) {
      if (span_ns / (power * factor) <= marks) return {power * factor, decimals};
    }
  }
  for (const std::int64_t seconds : {10, 20, 30, 60, 120, 300, 600, 1200, 1800}) {
    if (span_ns / (seconds * second_ns) <= marks) return {seconds * second_ns, 0};
  }
  const std::int64_t hour_ns = 3600 * second_ns;
  return {hour_ns * (span_ns / hour_ns / marks + 1), 0};
}

std::string tick_text(std::int64_t t_ns, int decimals) {
  auto text = clock_text(t_ns);
  if (decimals <= 0) return text;
  auto part = std::to_string(std::max<std::int64_t>(0, t_ns) % second_ns);
  part.insert(0, 9 - part.size(), '0');
  return text + "." + part.substr(0, static_cast<std::size_t>(std::min(decimals, 9)));
}

void draw_time_axis(Canvas& canvas, const TimeScale& scale, const Box& plot, float label_y) {
  const std::int64_t span_ns = scale.right_ns - scale.left_ns;
  const auto ticks = time_ticks(span_ns, std::max(1, static_cast<int>(scale.w / tick_room)));
  const std::int64_t first_ns = std::max<std::int64_t>(
      0, (scale.left_ns + ticks.step_ns - 1) / ticks.step_ns * ticks.step_ns);
  for (std::int64_t t_ns = first_ns; t_ns <= scale.right_ns; t_ns += ticks.step_ns) {
    const float x = scale.at(t_ns);
    canvas.hairline({x, plot.y}, {x, plot.bottom()});
    const auto text = tick_text(t_ns, ticks.decimals);
    const float half = canvas.width(text, label(canvas)) / 2.0F;
    // A label that would leave the plot by more than a little is left out, not cut.
    if (x - half < plot.x - 24.0F || x + half > plot.right() + 8.0F) continue;
    canvas.text({x, label_y}, text, label(canvas), Align::centre);
  }
}

void draw_moment_rule(Canvas& canvas, const TimeScale& scale, const Box& plot, std::int64_t at_ns) {
  if (!scale.shows(at_ns)) return;
  const float x = scale.at(at_ns);
  canvas.fill({x - 1.0F, plot.y, 2.0F, plot.h}, canvas.palette().brass);
}

}  // namespace strumwright::screens
