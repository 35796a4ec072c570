// app/screens/source_strip.h
#pragma once

#include <string>

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// Height of the strip in units.
[[nodiscard]] float strip_height(theme::Room room);

/// Draws the strip on top of every area: source, timing, load, recording, Keep, chord.
Intents draw_source_strip(Canvas& canvas, const Box& box, const Snapshot& snapshot);

/// What the source is called on screen; a simulated one says so whatever its name.
[[nodiscard]] std::string source_title(const engine::Now& now);

}  // namespace strumwright::screens
