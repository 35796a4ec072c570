// app/screens/wire_time.cpp
#include "app/screens/wire_time.h"

#include <algorithm>
#include <cmath>

#include "app/engine/history.h"
#include "core/midi/status.h"

namespace strumwright::screens {

namespace {

constexpr std::int64_t turn_every_ns = 400'000'000;  // nothing large changes more often
constexpr std::int64_t stroke_stays_ns =
    2'000'000'000;  // before bytes that are no stroke take over
constexpr float drag_slack = 3.0F;

/// Where following would begin the first row.
std::int64_t wanted_from_ns(const Snapshot& snapshot, const RibbonRows& rows) {
  const auto& now = snapshot.now;
  const std::int64_t last_ns = std::max<std::int64_t>(0, now.last_byte_ns);
  const std::int64_t page_ns = rows.page_ns();
  const bool strokes =
      now.stroke.serial > 0 && last_ns - now.stroke.start_ns < page_ns + stroke_stays_ns;
  if (strokes && page_ns < stroke_stays_ns) return now.stroke.start_ns - rows.row_ns / 16;
  const std::int64_t first_ns = std::max<std::int64_t>(0, now.first_byte_ns);
  // Far out the page creeps by rows, near it turns as a whole.
  const std::int64_t step_ns = page_ns < stroke_stays_ns ? page_ns : rows.row_ns;
  const std::int64_t steps = std::max<std::int64_t>(0, last_ns - first_ns) / step_ns;
  return first_ns + steps * step_ns - (page_ns - step_ns) - rows.row_ns / 16;
}

void follow(Canvas& canvas, const Snapshot& snapshot, const RibbonRows& rows, WireView& view) {
  const std::int64_t wanted_ns = wanted_from_ns(snapshot, rows);
  const std::int64_t stood_ns = snapshot.clock_ns - view.turned_ns;
  const bool first = view.turned_ns < 0 || stood_ns < 0 || view.shown_row_ns != rows.row_ns;
  if (wanted_ns == view.followed_from_ns) return;
  if (!first && stood_ns < turn_every_ns && snapshot.running) {
    return canvas.draw_again_in(static_cast<double>(turn_every_ns - stood_ns) / 1e9);
  }
  view.followed_from_ns = wanted_ns;
  view.turned_ns = snapshot.clock_ns;
}

/// A moment that was frozen or let go since the last frame.
void notice_moment(const Moment& moment, const RibbonRows& rows, WireView& view) {
  if (moment.pinned_ns == view.seen_pin_ns) return;
  view.seen_pin_ns = moment.pinned_ns;
  if (!moment.pinned()) {
    view.from_ns.reset();
    return;
  }
  const std::int64_t from_ns = view.from_ns.value_or(view.followed_from_ns);
  const std::int64_t pin_ns = *moment.pinned_ns;
  const bool in_sight = view.shown_row_ns > 0 && pin_ns >= from_ns &&
                        pin_ns < from_ns + rows.page_ns() - rows.row_ns / 8;
  // What led to a fault comes before it: some rows of that.
  const std::int64_t before_ns = rows.row_ns * (rows.count / 2) + rows.row_ns / 4;
  view.from_ns = in_sight ? from_ns : pin_ns - before_ns;
}

void zoom(Canvas& canvas, const Box& field, RibbonRows& rows, WireView& view) {
  const auto& input = canvas.input();
  if (input.wheel == 0.0F || !canvas.hovers(field)) return;
  const int steps = -static_cast<int>(std::lround(input.wheel));
  const std::int64_t row_ns = row_ns_for(rows.fit_width, view.zoom + steps);
  if (row_ns == rows.row_ns) return;
  const std::int64_t under_ns = rows.when(input.pointer);
  const double rows_before =
      static_cast<double>(under_ns - rows.from_ns) / static_cast<double>(rows.row_ns);
  view.zoom += steps;
  rows.row_ns = row_ns;
  if (view.from_ns) {
    view.from_ns = under_ns - static_cast<std::int64_t>(rows_before * static_cast<double>(row_ns));
  }
  canvas.keep_moving();
}

}  // namespace

float RibbonRows::byte_width() const {
  return plot.w *
         static_cast<float>(static_cast<double>(midi::byte_ns) / static_cast<double>(row_ns));
}

int RibbonRows::row_of(std::int64_t t_ns) const {
  const std::int64_t offset_ns = t_ns - from_ns;
  return static_cast<int>(offset_ns >= 0 ? offset_ns / row_ns : -1);
}

float RibbonRows::x_of(std::int64_t t_ns) const {
  const std::int64_t in_row_ns = t_ns - from_ns - row_of(t_ns) * row_ns;
  return plot.x +
         plot.w * static_cast<float>(static_cast<double>(in_row_ns) / static_cast<double>(row_ns));
}

float RibbonRows::y_of(int row) const { return plot.y + pitch * (static_cast<float>(row) + 0.52F); }

std::int64_t RibbonRows::when(Point at) const {
  const int row = std::clamp(static_cast<int>((at.y - plot.y) / pitch), 0, count - 1);
  const float share = std::clamp((at.x - plot.x) / plot.w, 0.0F, 1.0F);
  return from_ns + row * row_ns +
         static_cast<std::int64_t>(static_cast<double>(share) * static_cast<double>(row_ns));
}

std::int64_t row_ns_for(float width, int zoom) {
  std::int64_t row_ns = row_ns_at_best;
  while (row_ns > least_row_ns &&
         static_cast<double>(width) * midi::byte_ns / static_cast<double>(row_ns) <
             static_cast<double>(readable_byte)) {
    row_ns /= 2;
  }
  for (; zoom > 0 && row_ns < most_row_ns; --zoom) row_ns *= 2;
  for (; zoom < 0 && row_ns > least_row_ns; ++zoom) row_ns /= 2;
  return row_ns;
}

void place_ribbon(Canvas& canvas, const Box& field, const Snapshot& snapshot, const Moment& moment,
                  RibbonRows& rows, WireView& view) {
  const auto& keys = canvas.input().keys;
  if (presses(keys, key::end) + presses(keys, key::f5) > 0) view.from_ns.reset();
  notice_moment(moment, rows, view);
  if (!view.from_ns) follow(canvas, snapshot, rows, view);
  rows.from_ns = view.from_ns.value_or(view.followed_from_ns);
  zoom(canvas, field, rows, view);
  rows.from_ns = view.from_ns.value_or(view.followed_from_ns);
  view.shown_from_ns = rows.from_ns;
  view.shown_to_ns = rows.from_ns + rows.page_ns();
  view.shown_row_ns = rows.row_ns;
}

std::optional<std::int64_t> take_ribbon_pointer(const Canvas& canvas, const Box& field,
                                                const RibbonRows& rows, bool clicked,
                                                WireView& view) {
  const auto& input = canvas.input();
  if (clicked && canvas.hovers(field)) {
    view.drag = {input.pointer.x, input.pointer.y, rows.from_ns, false};
  }
  if (!view.drag) return std::nullopt;
  const bool outside = input.pointer.x < 0.0F;  // it left the window
  const float dx = outside ? 0.0F : input.pointer.x - view.drag->x;
  const float dy = outside ? 0.0F : input.pointer.y - view.drag->y;
  if (std::hypot(dx, dy) > drag_slack) view.drag->moved = true;
  if (view.drag->moved && !outside) {
    const double moved_rows = static_cast<double>(dx / rows.plot.w + dy / rows.pitch);
    view.from_ns = view.drag->from_ns -
                   static_cast<std::int64_t>(moved_rows * static_cast<double>(rows.row_ns));
  }
  if (input.down && !input.released) return std::nullopt;
  const bool moved = view.drag->moved;
  view.drag.reset();
  if (moved) return std::nullopt;
  return std::max<std::int64_t>(0, rows.when(input.pointer));
}

std::optional<std::int64_t> step_to_stroke(const Canvas& canvas, const Snapshot& snapshot,
                                           const Moment& moment) {
  const auto& keys = canvas.input().keys;
  const int step = presses(keys, key::right) - presses(keys, key::left);
  if (step == 0) return std::nullopt;
  const auto view = snapshot.history.strokes.view();
  const std::int64_t at_ns = moment.pinned_ns.value_or(snapshot.now.stroke.start_ns);
  auto i = view.at_or_after(at_ns);  // by end, so near the one that begins there
  while (i > view.first() && (i >= view.end() || view[i].start_ns >= at_ns)) --i;
  if (step < 0)
    return i < view.end() && view[i].start_ns < at_ns ? std::optional(view[i].start_ns)
                                                      : std::nullopt;
  while (i < view.end() && view[i].start_ns <= at_ns) ++i;
  return i < view.end() ? std::optional(view[i].start_ns) : std::nullopt;
}

}  // namespace strumwright::screens
