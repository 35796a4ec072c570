// app/theme/theme.h
#pragma once

#include "app/theme/fonts.h"
#include "app/theme/palette.h"

namespace strumwright::theme {

// Grid, in units (pixels at 100 %).
inline constexpr float gap = 16.0F;      ///< margin, and gap between panels
inline constexpr float padding = 12.0F;  ///< inside a panel
inline constexpr float radius = 4.0F;
inline constexpr float row_height = 24.0F;
inline constexpr float button_height = 28.0F;
inline constexpr float touch_height = 36.0F;
inline constexpr float findings_height = 40.0F;

inline constexpr int least_scale_percent = 80;
inline constexpr int most_scale_percent = 250;

/// How much room there is, from the window's width in units.
enum class Room { wide, middle, narrow };

/// Wide as drawn, from 700 one panel less, below that one panel at a time.
constexpr Room room_for(float width_units) {
  if (width_units >= 1100.0F) return Room::wide;
  return width_units >= 700.0F ? Room::middle : Room::narrow;
}

/// What a frame is drawn with. Fonts are in pixels; everything else is laid out in units.
struct Theme {
  const Palette* palette = &dark_palette;
  Fonts fonts;
  float scale = 1.0F;          ///< pixels a unit
  bool reduce_motion = false;  ///< fades become steps
};

/// The next step of the size keys: 80, 90, 100, 110, 125, 150, 175, 200, 225, 250 %.
int larger_scale(int percent);
int smaller_scale(int percent);

}  // namespace strumwright::theme
