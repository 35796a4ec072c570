// app/screens/hear_chord.h
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "app/engine/now_state.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// What the chord panel says.
struct ChordShown {
  harmony::ChordName chord;
  harmony::ChordName before;
  std::int64_t since_ns = 0;
  std::optional<std::int64_t> strum_ns = {};  ///< start of the strum that was chosen, if one was
  int notes = 0;                              ///< different notes of the stroke that gave the name
};

/// The chord in large letters, its kind in words, its tones, other readings, the one before.
void draw_chord_panel(Canvas& canvas, const Box& box, const ChordShown& shown);

}  // namespace strumwright::screens
