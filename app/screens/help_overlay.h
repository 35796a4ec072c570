// app/screens/help_overlay.h
#pragma once

#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// The keys, over everything else; true if it was clicked away.
bool draw_help(Canvas& canvas, const Box& window);

}  // namespace strumwright::screens
