// app/screens/wire_figures.h
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// One row of figures: "running status used  402  of 466 possible".
struct WireFigure {
  const char* name;
  std::string number;
  std::string rest;
  bool fault = false;
};

/// The figures of the wire, the most telling first. `stray_places`: runs of stray bytes.
[[nodiscard]] std::vector<WireFigure> wire_figures(const Snapshot& snapshot,
                                                   std::uint64_t stray_places);

void draw_figures_panel(Canvas& canvas, const Box& box, const std::vector<WireFigure>& figures);

/// The frame eye, which needs a recording of the line: says so.
void draw_eye_panel(Canvas& canvas, const Box& box);

}  // namespace strumwright::screens
