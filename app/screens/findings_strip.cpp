// app/screens/findings_strip.cpp
#include "app/screens/findings_strip.h"

#include <algorithm>
#include <array>
#include <string>

#include "app/screens/parts/figures.h"
#include "app/screens/parts/finding_groups.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/outside_text.h"
#include "app/screens/parts/panel.h"
#include "core/diagnosis/finding_text.h"

namespace strumwright::screens {

namespace {

constexpr double fade_s = 0.12;

/// Takes the first group as the line to show, unless the one that stands has not stood long enough.
void choose(Canvas& canvas, std::span<const FindingGroup> groups, FindingsView& view,
            double seconds) {
  if (groups.empty()) {
    view.shown.reset();
    return;
  }
  const auto& first = groups.front();
  const auto shown_key = view.shown ? group_key(*view.shown) : 0;
  if (view.shown && shown_key != group_key(first.newest)) {
    const double stood_s = seconds - view.since_s;
    if (stood_s < finding_stays_s) {
      canvas.draw_again_in(finding_stays_s - stood_s);
      return;
    }
  }
  if (!view.shown || shown_key != group_key(first.newest)) view.since_s = seconds;
  view.shown = first.newest;
  view.count = first.count;
}

struct Count {
  Mark mark;
  std::uint64_t count;
  const char* singular;
  const char* plural;
};

/// The counts that are not 0, at the right; returns where they begin.
float draw_counts(Canvas& canvas, const Box& box, const engine::Now& now, bool words) {
  const std::array<Count, 3> counts = {{{Mark::info, now.infos, " info", " info"},
                                        {Mark::warning, now.warnings, " warning", " warnings"},
                                        {Mark::error, now.errors, " error", " errors"}}};
  const float baseline = box.centre().y + 5.0F;
  float x = box.right() - theme::gap;
  const auto style = with_colour(plain(canvas), canvas.palette().ink2);
  for (const auto& count : counts) {
    if (count.count == 0) continue;
    auto text = count_text(count.count);
    if (words) text += count.count == 1 ? count.singular : count.plural;
    x -= canvas.text({x, baseline}, text, style, Align::right) + 13.0F;
    draw_mark(canvas, count.mark, {x, box.centre().y}, 5.5F);
    x -= 20.0F;
  }
  const bool any = x < box.right() - theme::gap;
  if (any) canvas.hairline({x, box.y + 10.0F}, {x, box.bottom() - 10.0F});
  return x;
}

void draw_notice(Canvas& canvas, const Box& box, const std::string& text, float right) {
  draw_mark(canvas, Mark::info, {box.x + 24.0F, box.centre().y}, 6.0F);
  const float left = box.x + 40.0F;
  canvas.text({left, box.centre().y + 5.0F},
              canvas.shortened(text, plain(canvas), right - left - theme::gap), plain(canvas));
}

/// While there is nothing to report: that it is so, and in a simulation the way out of it.
void draw_quiet(Canvas& canvas, const Box& box, const engine::Now& now, float right) {
  const std::string quiet = now.note_starts > 0 ? "No findings so far." : "Nothing judged yet.";
  const auto hint = now.simulated ? quiet + " S lists real sources to connect." : quiet;
  const Point at{box.x + 24.0F, box.centre().y + 5.0F};
  canvas.first_fit(at, right - at.x - theme::gap, {hint, quiet},
                   with_colour(plain(canvas), canvas.palette().ink3));
}

/// Whether the program's newest sentence is to be read now instead of findings.
bool notice_stands(Canvas& canvas, const engine::Now& now, FindingsView& view, double seconds) {
  if (now.notice_serial != view.notice_serial) {
    view.notice_serial = now.notice_serial;
    view.notice_since_s = seconds;
  }
  const double left_s = view.notice_since_s + notice_stays_s - seconds;
  if (left_s <= 0.0 || now.notice.view().empty()) return false;
  canvas.draw_again_in(left_s);
  return true;
}

bool mark_stands(Canvas& canvas, const MarkSet& mark, double seconds) {
  const double left_s = mark.set_s + mark_stays_s - seconds;
  if (left_s <= 0.0) return false;
  canvas.draw_again_in(left_s);
  return true;
}

void draw_line(Canvas& canvas, const Box& box, const FindingsView& view, float right,
               double seconds) {
  const auto& finding = *view.shown;
  const float baseline = box.centre().y + 5.0F;
  const float age = static_cast<float>((seconds - view.since_s) / fade_s);
  const bool fading = age < 1.0F && !canvas.theme().reduce_motion;
  if (fading) canvas.keep_moving();
  auto style = plain(canvas);
  if (fading) style.colour = theme::mixed(canvas.palette().panel, style.colour, age);
  draw_mark(canvas, mark_of(finding.severity), {box.x + 24.0F, box.centre().y}, 6.5F);
  float left = box.x + 40.0F;
  if (box.w >= 700.0F) {
    left += canvas.text({left, baseline}, time_text(finding.t_ns), second(canvas)) + 12.0F;
  }
  const auto times = view.count > 1 ? count_text(view.count) + "× " : std::string();
  const auto whole = times + diagnosis::text_of(finding, diagnosis::Signs::real);
  const auto brief = times + diagnosis::short_text_of(finding, diagnosis::Signs::real);
  const float room = right - left - theme::gap;
  const auto cut = canvas.shortened(brief, style, room);
  canvas.first_fit({left, baseline}, room, {whole, brief, cut}, style);
}

}  // namespace

Intents draw_findings_strip(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                            std::span<const FindingGroup> groups, FindingsView& view,
                            double seconds) {
  Intents intents;
  const auto& now = snapshot.now;
  canvas.set_home(box);
  canvas.fill(box, canvas.palette().panel);
  canvas.hairline({box.x, box.y}, {box.right(), box.y});
  const float right = draw_counts(canvas, box, now, box.w >= 1000.0F);
  const Box line = box.left(right - box.x - 8.0F);
  choose(canvas, groups, view, seconds);
  const bool notice = notice_stands(canvas, now, view, seconds);
  if (mark_stands(canvas, view.mark, seconds)) {
    draw_notice(canvas, box, "Marked at " + time_text(view.mark.t_ns), right);
  } else if (notice) {
    draw_notice(canvas, box, outside_text(now.notice.view()), right);
  } else if (view.shown) {
    draw_line(canvas, box, view, right, seconds);
    if (canvas.target("finding", line.inset(4.0F))) intents.open_finding = view.shown;
  } else {
    draw_quiet(canvas, box, now, right);
  }
  return intents;
}

}  // namespace strumwright::screens
