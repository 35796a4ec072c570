// app/screens/planned_screen.h
#pragma once

#include "app/screens/area.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// An area that is not built yet: says in one line what it will hold.
void draw_planned(Canvas& canvas, const Box& box, Area area);

}  // namespace strumwright::screens
