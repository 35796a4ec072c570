// app/screens/parts/chord_text.cpp
#include "app/screens/parts/chord_text.h"

#include <algorithm>
#include <initializer_list>

#include "core/harmony/chord_kind.h"

namespace strumwright::screens {

using harmony::Signs;
using theme::Face;

namespace {

constexpr bool has(std::uint16_t tones, int interval) {
  return (static_cast<unsigned>(tones) >> static_cast<unsigned>(interval) & 1U) != 0;
}

/// What a player calls the tone `interval` semitones above the root of a chord of these tones.
const char* part_of(std::uint16_t tones, int interval) {
  const bool third = has(tones, 3) || has(tones, 4);
  switch (interval) {
    case 0:
      return "root";
    case 1:
    case 2:
      return third ? "ninth" : "second";
    case 3:
      return has(tones, 4) ? "ninth" : "third";
    case 4:
      return "third";
    case 5:
      return third ? "eleventh" : "fourth";
    case 6:
      return has(tones, 7) ? "eleventh" : "fifth";
    case 7:
      return "fifth";
    case 8:
      return has(tones, 7) || has(tones, 6) ? "sixth" : "fifth";
    case 9:
      return has(tones, 6) && has(tones, 3) && !has(tones, 7) ? "seventh" : "sixth";
    default:
      return "seventh";
  }
}

}  // namespace

std::string chord_text(const harmony::ChordName& chord) {
  return chord.named ? harmony::to_text(chord.best, Signs::real) : std::string();
}

std::string note_name(std::uint8_t note) { return harmony::note_text(note, Signs::real); }

std::vector<Tone> chord_tones(harmony::Reading reading) {
  const auto tones = harmony::chord_kinds()[reading.kind].tones;
  std::vector<Tone> found;
  for (int interval = 0; interval < 12; ++interval) {
    if (!has(tones, interval)) continue;
    const auto pitch_class = static_cast<std::uint8_t>((reading.root + interval) % 12);
    found.push_back(
        {harmony::pitch_class_text(pitch_class, Signs::real), part_of(tones, interval)});
  }
  return found;
}

float draw_chord(Canvas& canvas, Point at, float width, const std::string& name, float size,
                 Align align) {
  constexpr float least_share = 0.5F;  // below it the shrunken letters would shimmer
  const auto colour = canvas.palette().large;
  for (const float made : {theme::large_size, theme::sign_size, theme::figure_size}) {
    const float fits = width / canvas.width(name, {made, Face::bold, colour});
    const float share = std::min({1.0F, size / made, fits});
    if (share < least_share) continue;
    auto* font = canvas.theme().fonts.find(Face::bold, made);
    canvas.text_with(font, at, name, colour, align, share);
    return made * share;
  }
  const Style style{theme::lead_size, Face::bold, colour};
  canvas.text(at, canvas.shortened(name, style, width), style, align);
  return theme::lead_size;
}

}  // namespace strumwright::screens
