// app/screens/hear_chord.cpp
#include "app/screens/hear_chord.h"

#include <algorithm>

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/panel.h"
#include "core/harmony/chord_kind.h"

namespace strumwright::screens {

namespace {

std::string fit_text(const ChordShown& shown) {
  if (!shown.chord.named || shown.notes == 0) return {};
  if (shown.chord.foreign_note) return "all but " + note_name(*shown.chord.foreign_note);
  return "all " + counted(static_cast<std::uint64_t>(shown.notes), "note") + " fit";
}

/// "or Am7, F♯dim7": other names of the same notes.
std::string others_text(const harmony::ChordName& chord) {
  std::string text;
  const std::size_t count = std::min<std::size_t>(chord.other_count, 3);
  for (std::size_t i = 0; i < count; ++i) {
    text += text.empty() ? "or " : ", ";
    text += harmony::to_text(chord.others[i], harmony::Signs::real);
  }
  return text;
}

/// Tones side by side with their part below; the parts go where the columns are too narrow.
void draw_tones(Canvas& canvas, const Box& box, harmony::Reading reading) {
  const auto tones = chord_tones(reading);
  const float step = std::min(84.0F, box.w / static_cast<float>(tones.size()));
  const auto part = label(canvas);
  const bool parts = std::all_of(tones.begin(), tones.end(), [&](const Tone& tone) {
    return canvas.width(tone.part, part) + 6.0F <= step;
  });
  float x = box.x;
  for (const auto& tone : tones) {
    canvas.text({x, box.y + 18.0F}, tone.name,
                step >= 34.0F ? figure(canvas) : strong_lead(canvas));
    if (parts && box.h >= 38.0F) canvas.text({x, box.y + 36.0F}, tone.part, part);
    x += step;
  }
}

void draw_before(Canvas& canvas, const Box& row, const ChordShown& shown) {
  canvas.hairline({row.x - 12.0F, row.y}, {row.right(), row.y});
  const float baseline = row.y + 29.0F;
  float x = row.x + canvas.text({row.x, baseline}, "before", label(canvas)) + 12.0F;
  const auto name = chord_text(shown.before);
  x += canvas.text({x, baseline + 1.0F}, name.empty() ? "–" : name, strong_lead(canvas)) + 24.0F;
  if (name.empty()) return;
  canvas.first_fit(
      {x, baseline}, row.right() - x,
      {"changed at " + time_text(shown.since_ns), "until " + time_text(shown.since_ns)},
      second(canvas));
}

/// How far below a name of that size the next line of text stands free of it.
float below_name(const std::string& name, float size) {
  const bool descends = name.find_first_of("gj/(") != std::string::npos;
  return std::max(36.0F, descends ? size * 0.2F + 18.0F : 0.0F);
}

void draw_unnamed(Canvas& canvas, const Box& inside, const ChordShown& shown) {
  const char* why = shown.notes == 0 ? "A name comes with the first strum."
                                     : "These notes have no name that I know.";
  canvas.text({inside.x + 8.0F, inside.y + inside.h * 0.35F}, "–",
              {theme::figure_size, theme::Face::bold, canvas.palette().ink3});
  canvas.paragraph({inside.x + 8.0F, inside.y + inside.h * 0.35F + 30.0F}, inside.w - 16.0F, why,
                   with_colour(plain(canvas), canvas.palette().ink2), 3);
}

}  // namespace

void draw_chord_panel(Canvas& canvas, const Box& box, const ChordShown& shown) {
  const auto fits = shown.strum_ns ? "strum of " + time_text(*shown.strum_ns) : fit_text(shown);
  const Box inside = draw_panel(canvas, box, {"Chord", {}, fits});
  if (!shown.chord.named) return draw_unnamed(canvas, inside, shown);
  const float left = inside.x + 12.0F;
  const float width = inside.w - 12.0F;
  const bool before = inside.h >= 230.0F;
  const bool tones = inside.h >= 150.0F;
  const float foot = inside.bottom() - (before ? 40.0F : 0.0F);
  const float below = tones ? 100.0F : 40.0F;
  const float most = std::min(theme::large_size, (foot - below - inside.y) / 0.76F);
  const float baseline = inside.y + most * 0.74F + 2.0F;
  const auto name = chord_text(shown.chord);
  const float size = draw_chord(canvas, {inside.x + 8.0F, baseline}, width - 8.0F, name, most);
  const float line = baseline + below_name(name, size);
  const char* words = harmony::chord_kinds()[shown.chord.best.kind].words;
  const float used = canvas.first_fit({left, line}, width, {words}, lead(canvas));
  canvas.first_fit({left + used + 14.0F, line}, width - used - 14.0F, {others_text(shown.chord)},
                   second(canvas));
  if (tones) draw_tones(canvas, {left, line + 18.0F, width, 42.0F}, shown.chord.best);
  if (before) draw_before(canvas, {left, inside.bottom() - 36.0F, width, 40.0F}, shown);
}

}  // namespace strumwright::screens
