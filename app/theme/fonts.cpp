// app/theme/fonts.cpp
#include "app/theme/fonts.h"

#include <cmath>

#include "fonts_embedded.h"
#include <imgui.h>

namespace strumwright::theme {

namespace {

// As `line_of_em`, of DejaVu Sans Bold: (1901 + 483) / 2048.
constexpr float dejavu_line_of_em = 1.1640625F;
constexpr float accidental_share = 0.94F;  // ours: the sharp as high as B612's digits

// Latin-1, then what our own texts use: dashes, quotes, ellipsis, minus, at most, at least.
constexpr ImWchar text_ranges[] = {0x20,   0x7E,   0xA0,   0xFF,   0x2013, 0x2014,
                                   0x2018, 0x2019, 0x201C, 0x201D, 0x2026, 0x2026,
                                   0x2212, 0x2212, 0x2264, 0x2265, 0};
// With the dash for "none" and the ellipsis of a shortened text.
constexpr ImWchar ascii_ranges[] = {0x20, 0x7E, 0x2013, 0x2013, 0x2026, 0x2026, 0};
// The letters that chord names are made of ("C#m7b5", "Gsus4", "Adim", "Eaug"): at 250 % the whole
// alphabet of the large sizes would not fit an atlas of 4096.
constexpr ImWchar chord_ranges[] = {'#', '9', 'A', 'G', 'a', 'u', 0};
constexpr ImWchar far_ranges[] = {0x20, 0x7E, 0};
constexpr ImWchar accidental_ranges[] = {0x266D, 0x266D, 0x266F, 0x266F, 0};

struct Wanted {
  Face face;
  float size;
  const ImWchar* ranges;
};

constexpr Wanted wanted_fonts[] = {
    {Face::regular, label_size, text_ranges}, {Face::regular, text_size, text_ranges},
    {Face::regular, lead_size, text_ranges},  {Face::bold, label_size, text_ranges},
    {Face::bold, text_size, text_ranges},     {Face::bold, lead_size, text_ranges},
    {Face::bold, figure_size, ascii_ranges},  {Face::bold, sign_size, chord_ranges},
    {Face::bold, large_size, chord_ranges},   {Face::mono, label_size, ascii_ranges},
    {Face::mono, text_size, ascii_ranges},
};

ImFontConfig config_for(float pixels) {
  ImFontConfig config;
  config.FontDataOwnedByAtlas = false;  // the bytes are part of the program
  config.OversampleH = pixels < 40.0F ? 2 : 1;
  config.OversampleV = 1;
  config.PixelSnapH = false;
  return config;
}

template <std::size_t size>
ImFont* add(ImFontAtlas& atlas, const unsigned char (&bytes)[size], float pixels,
            const ImFontConfig& config, const ImWchar* ranges) {
  // Dear ImGui takes the bytes as not const but, when it does not own them, only reads them.
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-const-cast)
  return atlas.AddFontFromMemoryTTF(const_cast<unsigned char*>(bytes), static_cast<int>(size),
                                    pixels, &config, ranges);
}

ImFont* add_face(ImFontAtlas& atlas, Face face, float em_pixels, const ImWchar* ranges) {
  auto config = config_for(em_pixels);
  const float pixels = em_pixels * line_of_em;
  ImFont* font = face == Face::regular ? add(atlas, b612_regular, pixels, config, ranges)
                 : face == Face::bold  ? add(atlas, b612_bold, pixels, config, ranges)
                                       : add(atlas, b612_mono, pixels, config, ranges);
  if (face == Face::mono) return font;
  config.MergeMode = true;
  add(atlas, dejavu_sans_bold, em_pixels * accidental_share * dejavu_line_of_em, config,
      accidental_ranges);
  return font;
}

bool in_ranges(const ImWchar* ranges, std::uint32_t character) {
  for (; ranges[0] != 0; ranges += 2) {
    if (character >= ranges[0] && character <= ranges[1]) return true;
  }
  return false;
}

}  // namespace

Fonts Fonts::build(ImFontAtlas& atlas, float scale, FarSizes far_sizes) {
  Fonts fonts;
  fonts.scale_ = scale;
  atlas.Clear();
  atlas.Flags |= ImFontAtlasFlags_NoMouseCursors;
  atlas.TexDesiredWidth = scale > 1.2F || far_sizes.word > 0.0F ? 4096 : 2048;
  for (const auto& wanted : wanted_fonts) {
    auto* font = add_face(atlas, wanted.face, wanted.size * scale, wanted.ranges);
    fonts.entries_[fonts.count_++] = {wanted.face, wanted.size, font};
  }
  if (far_sizes.word > 0.0F) {
    fonts.far_word_ = add_face(atlas, Face::bold, far_sizes.word, far_ranges);
    fonts.far_chord_ = add_face(atlas, Face::bold, far_sizes.chord, chord_ranges);
  }
  atlas.Build();
  return fonts;
}

ImFont* Fonts::find(Face face, float size) const {
  const Entry* best = entries_.data();
  float distance = 1e9F;
  for (std::size_t i = 0; i < count_; ++i) {
    const auto& entry = entries_[i];
    const float off = std::fabs(entry.size - size) + (entry.face == face ? 0.0F : 1000.0F);
    if (off >= distance) continue;
    distance = off;
    best = &entry;
  }
  return best->font;
}

bool has_glyph(std::uint32_t character) {
  return in_ranges(text_ranges, character) || in_ranges(accidental_ranges, character);
}

}  // namespace strumwright::theme
