// app/theme/palette.h
#pragma once

#include <cstdint>

namespace strumwright::theme {

/// A colour in sRGB with its opacity.
struct Colour {
  std::uint8_t red = 0;
  std::uint8_t green = 0;
  std::uint8_t blue = 0;
  std::uint8_t alpha = 255;
  friend constexpr bool operator==(Colour, Colour) = default;
};

/// 0xRRGGBB
constexpr Colour colour(std::uint32_t hex) {
  return {static_cast<std::uint8_t>(hex >> 16U), static_cast<std::uint8_t>(hex >> 8U),
          static_cast<std::uint8_t>(hex), 255};
}

/// The same colour, `opacity` of 1 opaque.
Colour faded(Colour from, double opacity);

/// From `a` at 0 to `b` at 1.
Colour mixed(Colour a, Colour b, double share);

/// Contrast of two opaque colours, 1 to 21. Source: WCAG 2.1, "contrast ratio".
double contrast(Colour a, Colour b);

/// The colours of one look. State colours are those of Okabe and Ito (2008), a palette that people
/// who confuse colours can tell apart; each goes with a shape of its own all the same.
struct Palette {
  bool light = false;
  Colour bench, panel, raised, rail, well;  ///< grounds; `well` lies below a panel
  Colour line;                              ///< hairlines only, nothing to read
  Colour edge;                              ///< outlines of controls, empty buttons
  Colour ink, ink2, ink3;                   ///< text, second text, axes and hints
  Colour brass, on_brass, rest, glow;       ///< strings and action; ended; struck now
  Colour large;                             ///< the large chord
  Colour error, error_text, warning, good, good_text, info, alien;
};

extern const Palette dark_palette;
extern const Palette light_palette;

}  // namespace strumwright::theme
