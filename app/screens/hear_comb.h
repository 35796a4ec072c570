// app/screens/hear_comb.h
#pragma once

#include <cstdint>

#include "app/engine/now_state.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// The stroke in the comb: the newest, or an older one that the user chose.
struct CombShown {
  const engine::StrokeNow& stroke;
  bool chosen = false;
};

/// The comb of one stroke with its figures and the marks that occur in it.
/// `ghost`: one laid under it for comparison, or null.
void draw_comb_panel(Canvas& canvas, const Box& box, const CombShown& shown,
                     const engine::StrokeNow* ghost, std::int64_t clock_ns);

}  // namespace strumwright::screens
