// app/screens/wire_cells.h
#pragma once

#include <optional>
#include <string>

#include "app/screens/parts/canvas.h"
#include "app/screens/wire_page.h"
#include "app/screens/wire_time.h"

namespace strumwright::screens {

/// What the cells of one ribbon are drawn from.
struct RibbonCells {
  const WirePage& page;
  const RibbonRows& rows;
  bool whole = false;  ///< from a source of whole messages: greyed
};

/// Axes of the rows with their times, from the first row's start.
void draw_row_axes(Canvas& canvas, const RibbonRows& rows);

/// Cells, ghosts, gaps and labels. Returns the byte under the pointer, or below 0.
int draw_cells(Canvas& canvas, const RibbonCells& cells);

/// One cell as the legend shows it.
void draw_cell_sample(Canvas& canvas, const Box& box, ByteRole role, bool whole);
void draw_ghost_sample(Canvas& canvas, const Box& box);

/// Far out: a column for a slice of time, from the least to the most bytes a millisecond in it.
void draw_columns(Canvas& canvas, const RibbonCells& cells);

/// "90 2B 50: note on, channel 1, G2, velocity 80; byte 1,024 at 01:24.312"
[[nodiscard]] std::string byte_words(const WirePage& page, int byte);

}  // namespace strumwright::screens
