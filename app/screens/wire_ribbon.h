// app/screens/wire_ribbon.h
#pragma once

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "app/screens/wire_view.h"

namespace strumwright::screens {

/// The byte ribbon with its legend, or the words of the message under the pointer.
Intents draw_ribbon_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                          const Moment& moment, WireView& view);

}  // namespace strumwright::screens
