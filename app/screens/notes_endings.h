// app/screens/notes_endings.h
#pragma once

#include <cstdint>

#include "app/screens/notes_bars.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// How the right end of a bar looks.
enum class EndShape : std::uint8_t {
  velocity_zero,  ///< an upright bar
  note_off,       ///< round
  all_off,        ///< slanted: all notes off, a reset, a lost link
  again,          ///< chevron: started again while down
  open,           ///< runs on to now, or over the edge
};

[[nodiscard]] EndShape end_shape(const NoteBar& bar);

/// Draws a bar as high as `box`; `ends` says whether its end lies in the picture.
void draw_note_bar(Canvas& canvas, const Box& box, const NoteBar& bar, bool ends);

/// A release that hit no note.
void draw_missed_release(Canvas& canvas, Point at, float radius);

/// "How a note ended": the legend of the lanes.
void draw_endings_panel(Canvas& canvas, const Box& box);
/// Its height where there is room for it.
[[nodiscard]] float endings_height();

}  // namespace strumwright::screens
