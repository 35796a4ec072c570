// tests/app/theme/fonts_test.cpp
#include "app/theme/fonts.h"

#include <initializer_list>

#include <doctest/doctest.h>
#include <imgui.h>

using namespace strumwright::theme;

TEST_CASE("the atlas fits 4096 by 4096 at every scale, with and without the far view") {
  struct Row {
    float scale;
    FarSizes far_sizes;
  };
  const Row rows[] = {{0.8F, {}}, {1.0F, {}}, {2.0F, {}}, {2.5F, {}}, {2.5F, {150.0F, 520.0F}}};
  for (const auto& row : rows) {
    INFO(row.scale);
    ImFontAtlas atlas;
    Fonts::build(atlas, row.scale, row.far_sizes);
    CHECK(atlas.TexWidth <= 4096);
    CHECK(atlas.TexHeight <= 4096);
  }
}

TEST_CASE("every size has digits of one width, accidentals and an em as asked") {
  ImFontAtlas atlas;
  const auto fonts = Fonts::build(atlas, 1.0F);
  for (const float size : {label_size, text_size, lead_size, figure_size, sign_size, large_size}) {
    INFO(size);
    const ImFont* font = fonts.find(Face::bold, size);
    CHECK(font->FontSize == doctest::Approx(size * 1.215F));
    const float digit = font->FindGlyphNoFallback('0')->AdvanceX;
    for (ImWchar c = '1'; c <= '9'; ++c) {
      CHECK(font->FindGlyphNoFallback(c)->AdvanceX == doctest::Approx(digit));
    }
    CHECK(font->FindGlyphNoFallback(0x266F) != nullptr);
    CHECK(font->FindGlyphNoFallback(0x266D) != nullptr);
  }
}

TEST_CASE("the large sizes have every letter of a chord name") {
  ImFontAtlas atlas;
  const auto fonts = Fonts::build(atlas, 1.0F);
  for (const float size : {sign_size, large_size}) {
    for (const char c :
         {'A', 'G', 'm', 'a', 'j', '7', 's', 'u', 'd', 'i', 'g', 'b', '/', '(', '+'}) {
      INFO(c);
      CHECK(fonts.find(Face::bold, size)->FindGlyphNoFallback(static_cast<ImWchar>(c)) != nullptr);
    }
  }
}

TEST_CASE("figures and bytes have the dash for none and the ellipsis of a shortened text") {
  ImFontAtlas atlas;
  const auto fonts = Fonts::build(atlas, 1.0F);
  for (const auto* font : {fonts.find(Face::bold, figure_size), fonts.find(Face::mono, label_size),
                           fonts.find(Face::mono, text_size)}) {
    CHECK(font->FindGlyphNoFallback(0x2013) != nullptr);
    CHECK(font->FindGlyphNoFallback(0x2026) != nullptr);
  }
}

TEST_CASE("the outlines fill their glyphs") {
  ImFontAtlas atlas;
  const auto fonts = Fonts::build(atlas, 1.0F);
  unsigned char* pixels = nullptr;
  int width = 0;
  int height = 0;
  atlas.GetTexDataAsAlpha8(&pixels, &width, &height);
  const auto* glyph = fonts.find(Face::bold, large_size)->FindGlyphNoFallback('1');
  // A digit one is a stem: the middle of its box must be covered, its upper right corner not.
  const auto at = [&](float u, float v) {
    return pixels[static_cast<int>(v * static_cast<float>(height)) * width +
                  static_cast<int>(u * static_cast<float>(width))];
  };
  int covered = 0;
  for (int i = 0; i < 40; ++i) {
    covered += at(glyph->U0 + (glyph->U1 - glyph->U0) * static_cast<float>(i) / 40.0F,
                  (glyph->V0 + glyph->V1) / 2.0F) > 200;
  }
  CHECK(covered > 4);
  CHECK(covered < 36);
}
