// app/screens/hear_comb.h
#pragma once

#include <cstdint>

#include "app/engine/now_state.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// The comb of one stroke with its figures and the marks that occur in it.
/// `ghost`: one pinned for comparison, or null.
void draw_comb_panel(Canvas& canvas, const Box& box, const engine::StrokeNow& stroke,
                     const engine::StrokeNow* ghost, std::int64_t clock_ns);

}  // namespace strumwright::screens
