// app/screens/parts/marks.h
#pragma once

#include <cstdint>

#include "app/screens/parts/canvas.h"
#include "core/diagnosis/rule.h"

namespace strumwright::screens {

/// Signs that carry a state by shape first, then by colour. Drawn, not glyphs.
enum class Mark : std::uint8_t {
  error,      ///< diamond
  warning,    ///< triangle
  info,       ///< disc
  in_order,   ///< disc with a tick
  start,      ///< round head of a tooth
  doubled,    ///< ring with a dot
  skipped,    ///< dashed ring
  neighbour,  ///< arrow head to the right
  whole,      ///< ring with a dot, green: linked, but whole messages only
  simulated,  ///< open triangle
  gone,       ///< dashed ring, struck through
  file,       ///< square
  waiting,    ///< open ring
  recording,  ///< disc
};

/// Draws a mark about as wide as 2 x `radius`; in the light look with an outline of ink.
void draw_mark(Canvas& canvas, Mark mark, Point centre, float radius);
[[nodiscard]] Mark mark_of(diagnosis::Severity severity);

enum class Heading : std::uint8_t { up, down, mixed };
/// Which way a hand moved: an arrow 12 units high, or two for a mixed stroke.
void draw_heading(Canvas& canvas, Heading heading, Point centre, theme::Colour colour,
                  float scale = 1.0F);

/// The five lines of a strummed chord: our own sign, 22 x 18 units.
void draw_logo(Canvas& canvas, Point top_left);

}  // namespace strumwright::screens
