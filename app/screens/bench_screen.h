// app/screens/bench_screen.h
#pragma once

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "app/screens/view_state.h"

namespace strumwright::screens {

/// One frame of the whole window: source strip, rail, the area, findings strip; or the far view.
/// Keys that mean the same in every area are taken here. What only changes the view is done in
/// `view`; what changes the bench comes back.
Intents draw_bench(Canvas& canvas, const Snapshot& snapshot, ViewState& view);

}  // namespace strumwright::screens
