// app/screens/notes_time.cpp
#include "app/screens/notes_time.h"

#include <algorithm>
#include <cmath>

namespace strumwright::screens {

namespace {

constexpr std::int64_t step_ns = 500'000'000;  // of a picture in which only held notes grow
constexpr double right_air = 0.03;             // of the stretch, right of now
constexpr double pin_place = 0.45;  // where a moment that was out of sight comes to stand
constexpr float drag_slack = 3.0F;

std::int64_t share_of(std::int64_t span_ns, double share) {
  return static_cast<std::int64_t>(static_cast<double>(span_ns) * share);
}

/// When a picture comes to rest if nothing more arrives.
std::int64_t rest_ns(const Snapshot& snapshot) {
  return std::max<std::int64_t>(0, snapshot.now.last_byte_ns) + rest_after_ns;
}

/// Whether only notes that are down carry time on.
bool steps_on(const Snapshot& snapshot) { return snapshot.running && snapshot.now.held_count > 0; }

/// A moment that was frozen or let go since the last frame.
void notice_moment(const Moment& moment, std::int64_t follow_right_ns, NotesView& view) {
  if (moment.pinned_ns == view.seen_pin_ns) return;
  view.seen_pin_ns = moment.pinned_ns;
  if (!moment.pinned()) {
    view.right_ns.reset();
    return;
  }
  const std::int64_t right_ns = view.right_ns.value_or(follow_right_ns);
  const std::int64_t pin_ns = *moment.pinned_ns;
  const std::int64_t margin_ns = view.span_ns / 20;
  const bool in_sight =
      pin_ns > right_ns - view.span_ns + margin_ns && pin_ns < right_ns - margin_ns;
  view.right_ns = in_sight ? right_ns : pin_ns + share_of(view.span_ns, 1.0 - pin_place);
}

void zoom(Canvas& canvas, const Box& plot, std::int64_t follow_right_ns, NotesView& view) {
  const float wheel = canvas.input().wheel;
  if (wheel == 0.0F || !canvas.hovers(plot)) return;
  const std::int64_t right_ns = view.right_ns.value_or(follow_right_ns);
  const TimeScale scale{right_ns - view.span_ns, right_ns, plot.x, plot.w};
  const std::int64_t under_ns = scale.when(canvas.input().pointer.x);
  const double factor = std::pow(0.8, static_cast<double>(wheel));
  const double wanted_ns = static_cast<double>(view.span_ns) * factor;
  const auto span_ns =
      static_cast<std::int64_t>(std::clamp(wanted_ns, static_cast<double>(least_lanes_span_ns),
                                           static_cast<double>(most_lanes_span_ns)));
  const double kept = static_cast<double>(right_ns - under_ns) / static_cast<double>(view.span_ns);
  view.span_ns = span_ns;
  // Following goes on with its own right edge; a stretch that stands keeps what is under the
  // pointer.
  if (view.right_ns) view.right_ns = under_ns + share_of(span_ns, kept);
  canvas.keep_moving();
}

}  // namespace

std::int64_t followed_ns(const Snapshot& snapshot) {
  const std::int64_t clock_ns = snapshot.clock_ns;
  if (clock_ns <= rest_ns(snapshot)) return clock_ns;
  if (!steps_on(snapshot)) return rest_ns(snapshot);
  return std::max(rest_ns(snapshot), clock_ns / step_ns * step_ns);
}

void ask_to_follow(Canvas& canvas, const Snapshot& snapshot) {
  if (!snapshot.running) return;
  if (snapshot.clock_ns <= rest_ns(snapshot)) return canvas.keep_moving();
  if (steps_on(snapshot)) canvas.draw_again_in(static_cast<double>(step_ns) / 1e9);
}

TimeScale lanes_shown(const Snapshot& snapshot, const NotesView& view) {
  const std::int64_t right_ns =
      view.right_ns.value_or(followed_ns(snapshot) + share_of(view.span_ns, right_air));
  return {right_ns - view.span_ns, right_ns};
}

TimeScale lanes_scale(Canvas& canvas, const Box& plot, const Snapshot& snapshot,
                      const Moment& moment, NotesView& view) {
  const auto& keys = canvas.input().keys;
  if (presses(keys, key::end) + presses(keys, key::f5) > 0) view.right_ns.reset();
  const std::int64_t follow_right_ns = followed_ns(snapshot) + share_of(view.span_ns, right_air);
  notice_moment(moment, follow_right_ns, view);
  zoom(canvas, plot, follow_right_ns, view);
  if (!view.right_ns) ask_to_follow(canvas, snapshot);
  auto scale = lanes_shown(snapshot, view);
  scale.x = plot.x;
  scale.w = plot.w;
  return scale;
}

std::optional<std::int64_t> take_lanes_pointer(const Canvas& canvas, const Box& plot,
                                               const TimeScale& scale, bool clicked,
                                               NotesView& view) {
  const auto& input = canvas.input();
  if (clicked && canvas.hovers(plot)) view.drag = {input.pointer.x, scale.right_ns, false};
  if (!view.drag) return std::nullopt;
  const bool outside = input.pointer.x < 0.0F;  // it left the window
  const float dx = outside ? 0.0F : input.pointer.x - view.drag->x;
  if (std::fabs(dx) > drag_slack) view.drag->moved = true;
  if (view.drag->moved && !outside) {
    const double share = static_cast<double>(dx) / static_cast<double>(plot.w);
    view.right_ns = view.drag->right_ns - share_of(view.span_ns, share);
  }
  if (input.down && !input.released) return std::nullopt;
  const bool moved = view.drag->moved;
  view.drag.reset();
  if (moved) return std::nullopt;
  return std::clamp<std::int64_t>(scale.when(input.pointer.x), 0,
                                  std::max<std::int64_t>(0, scale.right_ns));
}

}  // namespace strumwright::screens
