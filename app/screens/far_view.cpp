// app/screens/far_view.cpp
#include "app/screens/far_view.h"

#include <algorithm>
#include <initializer_list>
#include <string>

#include <imgui.h>

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "core/strum/stroke.h"

namespace strumwright::screens {

namespace {

constexpr float word_units = 88.0F;  // 20 arcminutes at 3 m and 96 dpi
constexpr float most_word_px = 240.0F;
constexpr float most_chord_px = 640.0F;  // so that the atlas holds the letters

void draw_simulated(Canvas& canvas, const Box& box, ImFont* word, float em) {
  const Box band{box.x, box.y, box.w, em * 1.3F};
  canvas.fill(band, canvas.palette().panel);
  canvas.hatch(band, theme::faded(canvas.palette().info, 0.30), em * 0.12F, em * 0.32F);
  const float wide = canvas.width_with(word, "SIMULATED");
  canvas.fill({band.x + em * 0.45F, band.y + em * 0.1F, wide + em * 0.3F, em * 1.1F},
              canvas.palette().panel, 4.0F);
  canvas.text_with(word, {band.x + em * 0.6F, band.y + em}, "SIMULATED", canvas.palette().info);
}

std::string far_chord_text(const engine::Now& now) {
  const auto name = chord_text(now.chord);
  return name.empty() ? "–" : name;
}

/// The chord in the largest letters that it fits in, its descenders within the box.
void draw_far_chord(Canvas& canvas, const Box& box, const engine::Now& now) {
  constexpr float tall = 0.78F;  // of a slash, in ems
  constexpr float deep = 0.20F;
  const auto name = far_chord_text(now);
  const auto& fonts = canvas.theme().fonts;
  for (ImFont* font : {fonts.far_chord(), fonts.far_word()}) {
    if (name == "–" && font == fonts.far_chord()) continue;
    const float em = font->FontSize / theme::line_of_em / canvas.theme().scale;
    const float share =
        std::min({1.0F, box.w / canvas.width_with(font, name), box.h / ((tall + deep) * em)});
    if (share < 0.5F && font == fonts.far_chord()) continue;
    canvas.text_with(font, {box.x, box.bottom() - deep * em * share}, name, canvas.palette().large,
                     Align::left, share);
    return;
  }
}

void draw_direction(Canvas& canvas, Point at, float em, const engine::Now& now) {
  if (now.stroke.serial == 0 || now.stroke.tooth_count < 3) return;
  const auto direction = static_cast<strum::Direction>(now.stroke.direction);
  const bool up = direction == strum::Direction::up;
  if (!up && direction != strum::Direction::down) return;
  draw_heading(canvas, up ? Heading::up : Heading::down, {at.x + em * 0.4F, at.y - em * 0.36F},
               canvas.palette().large, em / 17.0F);
  canvas.text_with(canvas.theme().fonts.far_word(), {at.x + em * 1.1F, at.y},
                   up ? "strummed up" : "strummed down", canvas.palette().ink);
}

void draw_verdict(Canvas& canvas, const Box& box, float baseline, float em,
                  const engine::Now& now) {
  const bool judged = now.note_starts > 0;
  const Mark mark = now.errors > 0 ? Mark::error : judged ? Mark::in_order : Mark::waiting;
  draw_mark(canvas, mark, {box.x + em * 0.4F, baseline - em * 0.36F}, em * 0.38F);
  const auto words = now.errors > 0 ? counted(now.errors, "error")
                     : judged       ? std::string("no errors")
                                    : std::string("no note yet");
  canvas.text_with(canvas.theme().fonts.far_word(), {box.x + em * 1.1F, baseline}, words,
                   canvas.palette().ink);
}

}  // namespace

theme::FarSizes far_sizes(int width_px, int height_px, float scale) {
  const auto width = static_cast<float>(width_px);
  const auto height = static_cast<float>(height_px);
  const float word = std::min({word_units * scale, height / 7.0F, width / 11.0F, most_word_px});
  return {std::max(24.0F, word),
          std::max(48.0F, std::min({height * 0.42F, width * 0.3F, most_chord_px}))};
}

bool draw_far_view(Canvas& canvas, const Box& box, const Snapshot& snapshot) {
  const auto& now = snapshot.now;
  ImFont* word = canvas.theme().fonts.far_word();
  const float em = word->FontSize / theme::line_of_em / canvas.theme().scale;
  canvas.set_home(box);
  canvas.fill(box, canvas.palette().bench);
  if (now.simulated) draw_simulated(canvas, box, word, em);
  const Box inside = box.inset(em * 0.6F);
  const float foot = inside.bottom() - em * 0.05F;
  const float rule = foot - em * 1.25F;
  const float direction = rule - em * 0.6F;
  const float top = now.simulated ? box.y + em * 1.4F : inside.y;
  draw_far_chord(canvas, {inside.x, top, inside.w, direction - em * 0.9F - top}, now);
  draw_direction(canvas, {inside.x, direction}, em, now);
  canvas.hairline({inside.x, rule}, {inside.right(), rule});
  draw_verdict(canvas, inside, foot, em, now);
  return canvas.target("far-view", box);
}

}  // namespace strumwright::screens
