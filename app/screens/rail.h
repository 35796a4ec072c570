// app/screens/rail.h
#pragma once

#include <cstdint>
#include <optional>

#include "app/screens/area.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// Width of the rail in units.
[[nodiscard]] float rail_width(theme::Room room);

struct RailState {
  Area area = Area::hear;
  std::uint64_t errors = 0;  ///< shown beside Notes
  int scale_percent = 100;
};

/// Draws the nine areas in their four groups; returns the one that was chosen.
std::optional<Area> draw_rail(Canvas& canvas, const Box& box, theme::Room room,
                              const RailState& state);

}  // namespace strumwright::screens
