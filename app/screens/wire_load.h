// app/screens/wire_load.h
#pragma once

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "app/screens/wire_view.h"

namespace strumwright::screens {

/// Line load of each 100 ms, as many as have room, up to now or about the frozen moment.
Intents draw_load_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                        const Moment& moment, WireView& view);

}  // namespace strumwright::screens
