// app/screens/hear_strings.cpp
#include "app/screens/hear_strings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "app/engine/history.h"
#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

namespace {

constexpr double resting_level = 0.35;  // of a note that stays down; ours

/// Level of a note that has been down for `age_ns`: falls straight, then stays.
double level_after(std::int64_t age_ns) {
  const double share =
      std::clamp(static_cast<double>(age_ns) / static_cast<double>(swell_ns), 0.0, 1.0);
  return 1.0 - share * (1.0 - resting_level);
}

bool named_as_hanging(const engine::Now& now, std::uint8_t channel_index, std::uint8_t note) {
  const auto* end = now.findings.data() + now.finding_count;
  return std::any_of(now.findings.data(), end, [&](const diagnosis::Finding& finding) {
    if (finding.rule == diagnosis::Rule::note_stuck) {
      return finding.note == note && finding.channel == channel_index + 1;
    }
    return finding.rule == diagnosis::Rule::note_swapped_off && finding.other &&
           finding.other->number == note && finding.other->channel.index == channel_index;
  });
}

void mark_down(std::array<StringShown, 128>& all, std::uint8_t note, std::int64_t since_ns,
               std::int64_t at_ns) {
  auto& string = all[note];
  string.down = true;
  string.since_ns = std::max(string.since_ns, since_ns);
  string.level = level_after(at_ns - string.since_ns);
}

/// What was down at a pinned instant: from the notes that ended after it, and those down still.
void mark_down_at(std::array<StringShown, 128>& all, const Snapshot& snapshot, std::int64_t at_ns) {
  const auto view = snapshot.history.notes.view();
  for (auto i = view.at_or_after(at_ns); i < view.end(); ++i) {
    const auto& span = view[i];
    if (span.start_ns <= at_ns && span.end_ns > at_ns) {
      mark_down(all, span.note, span.start_ns, at_ns);
    }
  }
}

/// Pitches of the last notes until then, whether they belong to a strum or not.
void mark_used(std::array<bool, 128>& used, const Snapshot& snapshot, std::int64_t at_ns) {
  const auto view = snapshot.history.notes.view();
  std::uint64_t count = 0;
  for (auto i = view.end(); i > view.first() && count < notes_in_use; --i) {
    const auto& span = view[i - 1];
    if (span.start_ns > at_ns) continue;
    used[span.note & 127U] = true;
    ++count;
  }
}

void draw_spindle(Canvas& canvas, Point top, float foot, double level) {
  const auto half = static_cast<float>(9.0 * std::pow(level, 0.8));
  const float middle = (top.y + foot) / 2.0F;
  std::array<Point, 16> outline{};
  const std::size_t side = outline.size() / 2;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const bool back = i >= side;
    const auto step =
        static_cast<float>(back ? outline.size() - 1 - i : i) / static_cast<float>(side - 1);
    const float bulge = 4.0F * step * (1.0F - step) * half;
    outline[i] = {top.x + (back ? -bulge : bulge), top.y + step * 2.0F * (middle - top.y)};
  }
  canvas.polygon(outline, theme::faded(canvas.palette().brass, 0.30 + 0.35 * level));
}

void draw_string(Canvas& canvas, Point top, float foot, const StringShown& string) {
  const auto& palette = canvas.palette();
  if (string.level > 0.0) draw_spindle(canvas, top, foot, string.level);
  const auto wire = string.down ? palette.glow : palette.rest;
  canvas.line(top, {top.x, foot}, wire, 1.6F);
  const auto end = string.down ? palette.brass : palette.rest;
  canvas.disc(top, 2.4F, end);
  canvas.disc({top.x, foot}, 2.4F, end);
}

/// The list of hanging notes at the right of the head; returns the width that it took.
void draw_hanging(Canvas& canvas, const Box& box, std::span<const StringShown> strings,
                  float room) {
  std::string names;
  for (const auto& string : strings) {
    if (string.hangs) names += (names.empty() ? "" : "  ") + note_name(string.note);
  }
  if (names.empty()) return;
  const float baseline = box.y + 21.0F;
  const float right = box.right() - theme::padding;
  const auto fitted = canvas.shortened(names, strong(canvas), room - 80.0F);
  float x = right - canvas.text({right, baseline}, fitted, strong(canvas), Align::right) - 10.0F;
  x -= canvas.text({x, baseline}, "hangs:", second(canvas), Align::right) + 14.0F;
  draw_mark(canvas, Mark::error, {x, box.y + 16.0F}, 5.2F);
}

}  // namespace

std::vector<StringShown> strings_of(const Snapshot& snapshot, const Moment& moment,
                                    std::span<const engine::StrokeNow> strums) {
  std::array<StringShown, 128> all{};
  std::array<bool, 128> used{};
  const std::int64_t at_ns = moment.at(snapshot);
  for (const auto& stroke : strums) {
    for (std::size_t i = 0; i < stroke.tooth_count; ++i) used[stroke.teeth[i].note & 127U] = true;
  }
  mark_used(used, snapshot, at_ns);
  if (moment.pinned()) mark_down_at(all, snapshot, at_ns);
  const auto& now = snapshot.now;
  const auto count = std::min<std::size_t>(now.held_count, engine::Now::most_held);
  for (std::size_t i = 0; i < count; ++i) {
    const auto& held = now.held[i];
    if (held.since_ns > at_ns) continue;
    const auto note = static_cast<std::uint8_t>(held.key.number & 127U);
    mark_down(all, note, held.since_ns, at_ns);
    all[note].hangs = all[note].hangs || named_as_hanging(now, held.key.channel.index, note);
  }
  std::vector<StringShown> strings;
  for (std::size_t note = 0; note < all.size(); ++note) {
    if (!used[note] && !all[note].down) continue;
    all[note].note = static_cast<std::uint8_t>(note);
    strings.push_back(all[note]);
  }
  return strings;
}

void draw_strings_panel(Canvas& canvas, const Box& box, std::span<const StringShown> strings,
                        bool pinned) {
  const bool any_hangs = std::any_of(strings.begin(), strings.end(),
                                     [](const StringShown& string) { return string.hangs; });
  const Box inside =
      draw_panel(canvas, box,
                 {"Strings",
                  any_hangs ? ""
                            : "a string for each pitch in use; it swells when struck, "
                              "until its note is released",
                  {}});
  draw_hanging(canvas, box, strings, box.w - 100.0F);
  if (strings.empty()) return;
  const float step = inside.w / static_cast<float>(strings.size());
  const float widest = canvas.width("A♯5", second(canvas)) + 5.0F;
  const auto every = static_cast<std::size_t>(std::max(1.0F, std::ceil(widest / step)));
  const float foot = inside.bottom() - 20.0F;
  const float tallest = foot - inside.y - 6.0F;
  const float shrink = 0.55F / static_cast<float>(std::max<std::size_t>(strings.size() - 1, 1));
  for (std::size_t i = 0; i < strings.size(); ++i) {
    const auto& string = strings[i];
    const float x = inside.x + (static_cast<float>(i) + 0.5F) * step;
    const float length = tallest * (1.0F - shrink * static_cast<float>(i));
    draw_string(canvas, {x, foot - length}, foot, string);
    if (string.down && !pinned && string.level > resting_level) canvas.keep_moving();
    if (i % every == 0) {
      const auto style =
          string.down ? with_colour(second(canvas), canvas.palette().ink) : label(canvas);
      canvas.text({x, foot + 18.0F}, note_name(string.note), style, Align::centre);
    }
    canvas.target("string." + std::to_string(i + 1), {x - step / 2.0F, inside.y, step, inside.h});
  }
}

}  // namespace strumwright::screens
