// tests/app/theme/palette_test.cpp
#include "app/theme/palette.h"

#include <initializer_list>

#include <doctest/doctest.h>

using namespace strumwright::theme;

TEST_CASE("contrast is the one that WCAG 2.1 defines") {
  // Source: WCAG 2.1: black on white is 21:1; 767676 on white is the lightest grey above 4.5:1.
  CHECK(contrast(colour(0x000000), colour(0xFFFFFF)) == doctest::Approx(21.0));
  CHECK(contrast(colour(0x767676), colour(0xFFFFFF)) == doctest::Approx(4.54).epsilon(0.002));
  CHECK(contrast(colour(0x777777), colour(0xFFFFFF)) < 4.5);
}

TEST_CASE("every colour keeps the contrast on a panel that the look promises") {
  struct Row {
    const char* name;
    Colour Palette::*colour;
    double dark;
    double light;
  };
  const Row rows[] = {
      {"line", &Palette::line, 1.5, 1.5},           {"edge", &Palette::edge, 3.6, 4.1},
      {"ink", &Palette::ink, 13.8, 15.0},           {"ink2", &Palette::ink2, 9.0, 8.3},
      {"ink3", &Palette::ink3, 5.8, 6.1},           {"brass", &Palette::brass, 7.7, 5.8},
      {"rest", &Palette::rest, 3.4, 3.8},           {"glow", &Palette::glow, 13.2, 11.1},
      {"error", &Palette::error, 4.2, 3.6},         {"error_text", &Palette::error_text, 6.5, 5.7},
      {"warning", &Palette::warning, 12.4, 1.2},    {"good", &Palette::good, 4.8, 3.2},
      {"good_text", &Palette::good_text, 7.6, 6.1}, {"info", &Palette::info, 7.1, 4.8},
      {"alien", &Palette::alien, 5.4, 2.9},
  };
  for (const auto& row : rows) {
    INFO(row.name);
    CHECK(contrast(dark_palette.*row.colour, dark_palette.panel) ==
          doctest::Approx(row.dark).epsilon(0.06 / row.dark));
    CHECK(contrast(light_palette.*row.colour, light_palette.panel) ==
          doctest::Approx(row.light).epsilon(0.06 / row.light));
  }
}

TEST_CASE("text is readable on every ground it is put on") {
  // Source: WCAG 2.1, 1.4.3 (AA): 4.5:1.
  for (const auto* palette : {&dark_palette, &light_palette}) {
    for (const auto ground : {palette->bench, palette->panel, palette->raised, palette->rail}) {
      for (const auto text : {palette->ink, palette->ink2, palette->ink3}) {
        CHECK(contrast(text, ground) >= 4.5);
      }
    }
    CHECK(contrast(palette->on_brass, palette->brass) >= 4.5);
    for (const auto text : {palette->error_text, palette->good_text}) {
      CHECK(contrast(text, palette->panel) >= 4.5);
    }
  }
}

TEST_CASE("a mixture begins and ends with its colours") {
  CHECK(mixed(colour(0x102030), colour(0x405060), 0.0) == colour(0x102030));
  CHECK(mixed(colour(0x102030), colour(0x405060), 1.0) == colour(0x405060));
  CHECK(mixed(colour(0x102030), colour(0x405060), 7.0) == colour(0x405060));
  CHECK(faded(colour(0xFFFFFF), 0.5).alpha == 128);
}
