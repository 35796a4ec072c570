// app/screens/parts/strum_comb.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "app/engine/now_state.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// One row of a strum comb: a string or a pitch, with its first start and those that came after.
struct CombRow {
  std::uint8_t place = 0;  ///< string number, or the note where no instrument is known
  std::uint8_t note = 0;
  double soonest_ms = 0.0;  ///< when the wire alone could have carried it
  double start_ms = 0.0;
  bool early = false;  ///< out of its order
  std::int64_t start_ns = 0;
  std::vector<double> again_ms;  ///< doubles
};

/// A stroke as a comb shows it: rows from the lowest place up, times from the first start.
struct Comb {
  std::vector<CombRow> rows;
  double longest_ms = 0.0;     ///< the last thing to draw
  double last_start_ms = 0.0;  ///< the last start that is no double
  double wire_ms = 0.0;        ///< first to last start if only the wire held it up
  bool strings = false;        ///< places are strings of an instrument
  bool timed = true;           ///< else `start_ms` counts the starts: the order is known, no time
  std::uint64_t left_out = 0;
};

[[nodiscard]] Comb comb_of(const engine::StrokeNow& stroke);

/// The row on which a note of another stroke stands; none: this comb does not have that pitch.
[[nodiscard]] std::optional<std::size_t> row_of_note(const Comb& comb, std::uint8_t note);

/// What a row is called: "7 D4" where strings are known, else "D4".
[[nodiscard]] std::string row_name(const Comb& comb, const CombRow& row);

/// Teeth that start so close before `clock_ns` still glow; 0 glow to 1.
[[nodiscard]] double glow_of(std::int64_t start_ns, std::int64_t clock_ns);
inline constexpr std::int64_t glow_ns = 400'000'000;  ///< ours

/// The open rings of a comb that is laid under another.
inline constexpr float ghost_radius = 4.0F;
inline constexpr float ghost_line = 1.4F;

/// Draws a comb with axes into `box`. `ghost`, if any, is laid under it for comparison: its starts
/// on the rows of the same pitch.
void draw_comb(Canvas& canvas, const Box& box, const Comb& comb, const Comb* ghost,
               std::int64_t clock_ns);
/// A small comb without axes, `most_ms` wide; of an old stroke in the colour of rest.
void draw_small_comb(Canvas& canvas, const Box& box, const Comb& comb, double most_ms, bool newest);

}  // namespace strumwright::screens
