// app/screens/parts/time_axis.h
#pragma once

#include <cstdint>
#include <string>

#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// A stretch of the session laid along x: times in ns to units and back.
struct TimeScale {
  std::int64_t left_ns = 0;
  std::int64_t right_ns = 1;  ///< > `left_ns`
  float x = 0.0F;
  float w = 1.0F;

  [[nodiscard]] float at(std::int64_t t_ns) const {
    const double share =
        static_cast<double>(t_ns - left_ns) / static_cast<double>(right_ns - left_ns);
    return x + static_cast<float>(share * static_cast<double>(w));
  }
  [[nodiscard]] std::int64_t when(float at_x) const {
    const double share = static_cast<double>(at_x - x) / static_cast<double>(w);
    return left_ns + static_cast<std::int64_t>(share * static_cast<double>(right_ns - left_ns));
  }
  [[nodiscard]] bool shows(std::int64_t t_ns) const { return t_ns >= left_ns && t_ns <= right_ns; }
};

/// Where a time axis has its marks: at whole multiples of a step that people count in.
struct TimeTicks {
  std::int64_t step_ns = 1'000'000'000;
  int decimals = 0;  ///< of seconds, that the labels need
};

/// Steps of 1, 2 or 5 times a power of ten up to 5 s, then 10, 20, 30 s and as on a clock; at most
/// `marks` of them in `span_ns` (both at least 1).
[[nodiscard]] TimeTicks time_ticks(std::int64_t span_ns, int marks);
/// "01:23.2", with as many decimals as the ticks need.
[[nodiscard]] std::string tick_text(std::int64_t t_ns, int decimals);

/// Hairlines over `plot` and their times at the baseline `label_y`; nothing before the session.
void draw_time_axis(Canvas& canvas, const TimeScale& scale, const Box& plot, float label_y);

/// The frozen moment: a brass rule over `plot`; nothing where it is out of sight.
void draw_moment_rule(Canvas& canvas, const TimeScale& scale, const Box& plot, std::int64_t at_ns);

}  // namespace strumwright::screens
