// app/screens/notes_pins.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "app/screens/parts/canvas.h"
#include "app/screens/parts/time_axis.h"
#include "core/diagnosis/finding.h"

namespace strumwright::screens {

/// Findings so close that one pin stands for them.
struct Pin {
  diagnosis::Finding worst;
  float x = 0.0F;
  std::size_t count = 1;
};

/// Pins for findings in sight, from left to right, none nearer than 14 units to the next.
[[nodiscard]] std::vector<Pin> pins_of(std::span<const diagnosis::Finding> findings,
                                       const TimeScale& scale);

/// Draws the row of pins; returns the finding that was clicked.
std::optional<diagnosis::Finding> draw_pins(Canvas& canvas, const Box& row,
                                            std::span<const Pin> pins,
                                            const std::optional<diagnosis::Finding>& picked);

/// A release that went astray: where it hit, and the bar that it should have ended.
struct SwappedRelease {
  diagnosis::Finding finding;
  Point hit;
  std::optional<Point> meant;  ///< none: that lane is not in the picture
};

/// Draws diamonds and curves, spread so that several can be told apart; words beside the picked
/// one.
void draw_swapped(Canvas& canvas, const Box& lanes, std::span<const SwappedRelease> releases,
                  const std::optional<diagnosis::Finding>& picked, float radius);

}  // namespace strumwright::screens
