// app/screens/parts/strum_comb.cpp
#include "app/screens/parts/strum_comb.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"
#include "core/midi/status.h"
#include "core/strum/stroke.h"

namespace strumwright::screens {

namespace {

constexpr double ms_of(std::int64_t ns) { return static_cast<double>(ns) / 1e6; }

/// Time that the wire takes for a note start. Source: IEC 63035:2017, 4.1 (ten bits at 31,250 baud)
/// and MIDI 1.0 Detailed Specification 4.2, running status (two bytes instead of three).
double wire_step_ms(const engine::StrokeNow& stroke) {
  return ms_of((stroke.running_status ? 2 : 3) * midi::byte_ns);
}

CombRow* row_of(Comb& comb, const engine::ToothNow& tooth) {
  const auto found = std::find_if(comb.rows.begin(), comb.rows.end(), [&](const CombRow& row) {
    return row.place == tooth.place && row.note == tooth.note;
  });
  return found == comb.rows.end() ? nullptr : &*found;
}

/// Where times and rows lie in a picture.
struct Frame {
  Box box;
  double most_ms;
  std::size_t rows;

  [[nodiscard]] float x(double ms) const {
    return box.x + static_cast<float>(ms / most_ms) * box.w;
  }
  [[nodiscard]] float y(std::size_t row) const {
    const float step = box.h / static_cast<float>(std::max<std::size_t>(rows, 1));
    return box.bottom() - (static_cast<float>(row) + 0.5F) * step;
  }
};

struct Look {
  float tooth;  ///< thickness
  float head;   ///< radius
  theme::Colour wood;
  theme::Colour tip;
};

void draw_wedge(Canvas& canvas, const Frame& frame, const Comb& comb, float thickness) {
  if (comb.rows.size() < 2 || !comb.timed) return;
  const auto& palette = canvas.palette();
  std::vector<Point> slope;
  for (std::size_t i = 0; i < comb.rows.size(); ++i) {
    slope.push_back({frame.x(comb.rows[i].soonest_ms), frame.y(i)});
  }
  const auto shade = theme::faded(palette.info, palette.light ? 0.22 : 0.18);
  for (std::size_t i = 0; i + 1 < slope.size(); ++i) {
    const std::array<Point, 4> strip = {
        {{frame.box.x, slope[i].y}, slope[i], slope[i + 1], {frame.box.x, slope[i + 1].y}}};
    canvas.polygon(strip, shade, false);
    canvas.dashes(slope[i], slope[i + 1], palette.info, 4.0F, 2.5F, thickness);
  }
}

/// The line of an even hand, from the first start to the last.
void draw_even_hand(Canvas& canvas, const Frame& frame, const Comb& comb) {
  const auto by_start = [](const CombRow& a, const CombRow& b) { return a.start_ms < b.start_ms; };
  const auto [first, last] = std::minmax_element(comb.rows.begin(), comb.rows.end(), by_start);
  if (first == last) return;
  const auto at = [&](auto row) {
    return Point{frame.x(row->start_ms),
                 frame.y(static_cast<std::size_t>(row - comb.rows.begin()))};
  };
  canvas.dashes(at(first), at(last), canvas.palette().ink3, 1.5F, 4.5F, 1.0F);
}

void draw_doubles(Canvas& canvas, const Frame& frame, const CombRow& row, std::size_t index,
                  const Look& look) {
  const auto& palette = canvas.palette();
  const float y = frame.y(index);
  const float radius = std::max(2.5F, look.head * 1.35F);
  for (const double ms : row.again_ms) {
    const float x = frame.x(ms);
    canvas.dashes({frame.x(row.start_ms) + look.head, y}, {x - radius, y},
                  palette.light ? palette.ink : palette.warning, 2.0F, 2.0F, look.tooth * 0.45F);
    draw_mark(canvas, Mark::doubled, {x, y}, radius);
  }
}

void draw_tooth(Canvas& canvas, const Frame& frame, const CombRow& row, std::size_t index,
                const Look& look) {
  const float y = frame.y(index);
  const float from = frame.x(std::min(row.soonest_ms, row.start_ms));
  const float to = frame.x(row.start_ms);
  canvas.line({from, y}, {to, y}, look.wood, look.tooth);
  if (row.early) {
    draw_mark(canvas, Mark::neighbour, {to, y}, look.head * 1.25F);
  } else {
    canvas.disc({to, y}, look.head, look.tip);
  }
  draw_doubles(canvas, frame, row, index, look);
}

void draw_time_axis(Canvas& canvas, const Frame& frame, const Ticks& ticks, float label_y) {
  const int count = static_cast<int>(std::lround(ticks.end / ticks.step));
  for (int i = 0; i <= count; ++i) {
    const double ms = ticks.step * i;
    const float x = frame.x(ms);
    canvas.hairline({x, frame.box.y - 6.0F}, {x, frame.box.bottom() + 6.0F});
    canvas.text({x, label_y}, number_text(ms, ticks.decimals), label(canvas), Align::centre);
  }
}

/// Names at the left: every row where there is room for 12 units a row, else every few.
void draw_row_names(Canvas& canvas, const Frame& frame, const Comb& comb, float left) {
  const float step = frame.box.h / static_cast<float>(std::max<std::size_t>(comb.rows.size(), 1));
  const auto every = static_cast<std::size_t>(std::max(1.0F, std::ceil(12.5F / step)));
  for (std::size_t i = 0; i < comb.rows.size(); i += every) {
    const float baseline = frame.y(i) + 4.5F;
    const auto& row = comb.rows[i];
    canvas.text({frame.box.x - 12.0F, baseline}, note_name(row.note), second(canvas), Align::right);
    if (!comb.strings) continue;
    canvas.text({left + 16.0F, baseline}, std::to_string(row.place), label(canvas), Align::right);
  }
}

Look look_for(const Canvas& canvas, float row_step) {
  const auto& palette = canvas.palette();
  const float head = std::clamp(row_step * 0.31F, 2.0F, 4.8F);
  return {head * 0.72F, head, palette.brass, palette.brass};
}

}  // namespace

Comb comb_of(const engine::StrokeNow& stroke) {
  Comb comb;
  comb.left_out = stroke.teeth_left_out;
  comb.timed = stroke.timed;
  const double step_ms = wire_step_ms(stroke);
  int order = 0;
  for (std::size_t i = 0; i < stroke.tooth_count; ++i) {
    const auto& tooth = stroke.teeth[i];
    const double ms = comb.timed ? ms_of(tooth.t_ns - stroke.start_ns) : static_cast<double>(i);
    comb.longest_ms = std::max(comb.longest_ms, ms);
    comb.strings = comb.strings || tooth.place != tooth.note;
    const auto role = static_cast<strum::Role>(tooth.role);
    auto* row = row_of(comb, tooth);
    if (role == strum::Role::doubled && row != nullptr) {
      row->again_ms.push_back(ms);
      continue;
    }
    comb.last_start_ms = std::max(comb.last_start_ms, ms);
    if (comb.timed) comb.wire_ms = step_ms * order;
    if (row == nullptr) {
      comb.rows.push_back({tooth.place,
                           tooth.note,
                           step_ms * order,
                           ms,
                           role == strum::Role::early,
                           tooth.t_ns,
                           {}});
    }
    ++order;
  }
  comb.longest_ms = std::max(comb.longest_ms, comb.wire_ms);
  std::stable_sort(comb.rows.begin(), comb.rows.end(), [](const CombRow& a, const CombRow& b) {
    return a.place != b.place ? a.place < b.place : a.note < b.note;
  });
  return comb;
}

std::optional<std::size_t> row_of_note(const Comb& comb, std::uint8_t note) {
  const auto found = std::find_if(comb.rows.begin(), comb.rows.end(),
                                  [note](const CombRow& row) { return row.note == note; });
  if (found == comb.rows.end()) return std::nullopt;
  return static_cast<std::size_t>(found - comb.rows.begin());
}

std::string row_name(const Comb& comb, const CombRow& row) {
  return comb.strings ? std::to_string(row.place) + " " + note_name(row.note) : note_name(row.note);
}

double glow_of(std::int64_t start_ns, std::int64_t clock_ns) {
  const std::int64_t age_ns = clock_ns - start_ns;
  if (age_ns < 0 || age_ns >= glow_ns) return 0.0;
  return 1.0 - static_cast<double>(age_ns) / static_cast<double>(glow_ns);
}

void draw_comb(Canvas& canvas, const Box& box, const Comb& comb, const Comb* ghost,
               std::int64_t clock_ns) {
  const float names = comb.strings ? 66.0F : 48.0F;
  const Box plot{box.x + names, box.y + 8.0F, box.w - names - 34.0F, box.h - 38.0F};
  const double most = std::max({comb.longest_ms, ghost != nullptr ? ghost->longest_ms : 0.0, 1.0});
  const auto ticks = ticks_for(most, std::clamp(static_cast<int>(plot.w / 60.0F), 2, 8));
  const Frame frame{plot, ticks.end, comb.rows.size()};
  const float axis = box.bottom() - 7.0F;
  draw_time_axis(canvas, frame, ticks, axis);
  canvas.text({box.x, axis}, comb.strings ? "string" : "pitch", label(canvas));
  canvas.text({box.right(), axis}, comb.timed ? "ms" : "nth", label(canvas), Align::right);
  draw_row_names(canvas, frame, comb, box.x);
  draw_wedge(canvas, frame, comb, 1.6F);
  if (ghost != nullptr) {
    for (const auto& row : ghost->rows) {
      const auto at = row_of_note(comb, row.note);
      if (!at) continue;
      canvas.ring({frame.x(row.start_ms), frame.y(*at)}, ghost_radius, canvas.palette().alien,
                  ghost_line);
    }
  }
  if (comb.timed) draw_even_hand(canvas, frame, comb);
  auto look =
      look_for(canvas, plot.h / static_cast<float>(std::max<std::size_t>(comb.rows.size(), 1)));
  for (std::size_t i = 0; i < comb.rows.size(); ++i) {
    const double glow = glow_of(comb.rows[i].start_ns, clock_ns);
    if (glow > 0.0) canvas.keep_moving();
    const bool step = canvas.theme().reduce_motion;
    look.tip = theme::mixed(canvas.palette().brass, canvas.palette().glow,
                            step ? (glow > 0.0 ? 1.0 : 0.0) : glow);
    draw_tooth(canvas, frame, comb.rows[i], i, look);
  }
}

void draw_small_comb(Canvas& canvas, const Box& box, const Comb& comb, double most_ms,
                     bool newest) {
  const auto& palette = canvas.palette();
  const Frame frame{box, std::max(most_ms, 1.0), comb.rows.size()};
  draw_wedge(canvas, frame, comb, 1.2F);
  const float step = box.h / static_cast<float>(std::max<std::size_t>(comb.rows.size(), 1));
  const float head = std::clamp(step * 0.6F, 1.6F, 2.5F);
  const Look look{head * 0.68F, head, newest ? palette.brass : palette.rest,
                  newest ? palette.glow : palette.brass};
  for (std::size_t i = 0; i < comb.rows.size(); ++i) {
    draw_tooth(canvas, frame, comb.rows[i], i, look);
  }
}

}  // namespace strumwright::screens
