// app/screens/far_view.h
#pragma once

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// Sizes of the far view's fonts in pixels, for a window of so many pixels. A word is 88 units high
/// where the window has room for that (20 arcminutes at 3 m), less where it has not.
[[nodiscard]] theme::FarSizes far_sizes(int width_px, int height_px, float scale);

/// The chord, which way the hand went, one verdict; to be read at three metres.
/// A click anywhere leaves it: returns true then.
bool draw_far_view(Canvas& canvas, const Box& box, const Snapshot& snapshot);

}  // namespace strumwright::screens
