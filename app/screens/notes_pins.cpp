// app/screens/notes_pins.cpp
#include "app/screens/notes_pins.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/screens/notes_endings.h"
#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/finding_groups.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

using diagnosis::Finding;

namespace {

constexpr float pin_room = 14.0F;
constexpr float first_bulge = 26.0F;
constexpr float bulge_step = 26.0F;

bool is_picked(const Finding& finding, const std::optional<Finding>& picked) {
  return picked && finding.rule == picked->rule && finding.t_ns == picked->t_ns &&
         finding.note == picked->note;
}

void draw_curve(Canvas& canvas, const SwappedRelease& release, float bulge, bool strong_line) {
  const Point from = release.hit;
  const Point to = *release.meant;
  const auto& palette = canvas.palette();
  const auto colour = strong_line ? palette.ink : palette.ink3;
  const float reach = bulge * 4.0F / 3.0F;  // a cubic comes to 3/4 of its control points
  canvas.curve(from, {from.x + reach, from.y}, {to.x + reach, to.y}, to, colour,
               strong_line ? 1.8F : 1.1F);
  canvas.disc(to, 2.6F, colour);
}

void draw_words(Canvas& canvas, const Box& lanes, const SwappedRelease& release, float bulge) {
  const auto& finding = release.finding;
  if (!finding.note || !finding.other || !release.meant) return;
  const auto first = note_name(finding.other->number) + " should have ended here,";
  const auto second_line = "the release went to " + note_name(*finding.note);
  const auto style = with_colour(second(canvas), canvas.palette().ink);
  const float wide = std::max(canvas.width(first, style), canvas.width(second_line, style)) + 12.0F;
  const float left = release.hit.x + bulge + 14.0F;
  // Beside the curve, clear of the bar that hangs.
  constexpr float high = 38.0F;
  const float middle = (release.hit.y + release.meant->y - high) / 2.0F;
  const float y = release.hit.y < release.meant->y
                      ? std::min(middle, release.meant->y - high - 8.0F)
                      : std::max(middle, release.meant->y + 8.0F);
  const Box ground{left, std::clamp(y, lanes.y, std::max(lanes.y, lanes.bottom() - high)), wide,
                   high};
  if (ground.right() > lanes.right() || lanes.h < high) return;
  canvas.fill(ground, theme::faded(canvas.palette().panel, 0.88), theme::radius);
  canvas.text({left + 6.0F, ground.y + 15.0F}, first, style);
  canvas.text({left + 6.0F, ground.y + 31.0F}, second_line, style);
}

}  // namespace

std::vector<Pin> pins_of(std::span<const Finding> findings, const TimeScale& scale) {
  std::vector<const Finding*> order;
  for (const auto& finding : findings) order.push_back(&finding);
  std::sort(order.begin(), order.end(),
            [](const Finding* a, const Finding* b) { return a->t_ns < b->t_ns; });
  std::vector<Pin> pins;
  for (const auto* finding : order) {
    const float x = scale.at(finding->t_ns);
    if (pins.empty() || x - pins.back().x >= pin_room) {
      pins.push_back({*finding, x, 1});
      continue;
    }
    auto& pin = pins.back();
    ++pin.count;
    if (finding->severity < pin.worst.severity) pin.worst = *finding;
  }
  return pins;
}

std::optional<Finding> draw_pins(Canvas& canvas, const Box& row, std::span<const Pin> pins,
                                 const std::optional<Finding>& picked) {
  std::optional<Finding> clicked;
  for (std::size_t i = 0; i < pins.size(); ++i) {
    const auto& pin = pins[i];
    const Point at{pin.x, row.centre().y};
    const Box target{at.x - 7.0F, row.y, 14.0F, row.h};
    if (canvas.hovers(target) || is_picked(pin.worst, picked)) {
      canvas.fill({at.x - 8.0F, row.y, 16.0F, row.h}, canvas.palette().raised, theme::radius);
    }
    draw_mark(canvas, mark_of(pin.worst.severity), at, 5.0F);
    if (canvas.target("pin." + std::to_string(i + 1), target)) clicked = pin.worst;
    if (pin.count < 2) continue;
    const auto times = std::to_string(pin.count) + "×";
    const float end = i + 1 < pins.size() ? pins[i + 1].x - 8.0F : row.right();
    canvas.first_fit({at.x + 9.0F, at.y + 4.5F}, end - at.x - 9.0F, {times}, second(canvas));
  }
  return clicked;
}

void draw_swapped(Canvas& canvas, const Box& lanes, std::span<const SwappedRelease> releases,
                  const std::optional<Finding>& picked, float radius) {
  float bulge = first_bulge;
  float last_x = -1e9F;
  std::optional<std::pair<std::size_t, float>> told;
  for (std::size_t i = 0; i < releases.size(); ++i) {
    const auto& release = releases[i];
    if (!release.meant) continue;
    // Spread within a bunch; a release further on begins anew.
    bulge = release.hit.x - last_x < 3.0F * bulge_step ? bulge + bulge_step : first_bulge;
    if (bulge > 5.0F * bulge_step) bulge = first_bulge;
    last_x = release.hit.x;
    const bool chosen = is_picked(release.finding, picked);
    draw_curve(canvas, release, bulge, chosen);
    if (chosen) told = {i, bulge};
  }
  for (const auto& release : releases) draw_missed_release(canvas, release.hit, radius);
  if (told) draw_words(canvas, lanes, releases[told->first], told->second);
}

}  // namespace strumwright::screens
