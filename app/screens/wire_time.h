// app/screens/wire_time.h
#pragma once

#include <cstdint>
#include <optional>

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "app/screens/wire_view.h"

namespace strumwright::screens {

/// A row of the ribbon at zoom 0 where there is room, and the limits of the zoom (ours).
inline constexpr std::int64_t row_ns_at_best = 16'000'000;
inline constexpr std::int64_t least_row_ns = 2'000'000;
inline constexpr std::int64_t most_row_ns = 4'096'000'000;
/// A cell as wide as this can hold its two digits.
inline constexpr float readable_byte = 17.5F;

/// Rows of the ribbon: where they stand and which stretch each shows.
struct RibbonRows {
  Box plot;                ///< x and width are those of every row's time
  float fit_width = 0.0F;  ///< by which the time of a row was chosen
  float pitch = 66.0F;
  int count = 1;
  std::int64_t row_ns = row_ns_at_best;
  std::int64_t from_ns = 0;

  [[nodiscard]] std::int64_t page_ns() const { return row_ns * count; }
  [[nodiscard]] float byte_width() const;
  /// The row that holds a time, from 0; may lie outside.
  [[nodiscard]] int row_of(std::int64_t t_ns) const;
  [[nodiscard]] float x_of(std::int64_t t_ns) const;
  /// The axis of a row.
  [[nodiscard]] float y_of(int row) const;
  [[nodiscard]] std::int64_t when(Point at) const;
};

/// The time of a row that suits a width at a zoom.
[[nodiscard]] std::int64_t row_ns_for(float width, int zoom);

/// Follows the newest stroke (or the newest bytes, if they are no strokes), turning the page three
/// times a second at most; takes wheel, drag, keys and the frozen moment. Sets `rows.from_ns`.
void place_ribbon(Canvas& canvas, const Box& field, const Snapshot& snapshot, const Moment& moment,
                  RibbonRows& rows, WireView& view);

/// Takes presses on the ribbon: a drag moves it, a click without a move gives its time.
[[nodiscard]] std::optional<std::int64_t> take_ribbon_pointer(const Canvas& canvas,
                                                              const Box& field,
                                                              const RibbonRows& rows, bool clicked,
                                                              WireView& view);

/// Left and Right: the start of the stroke before or after what is shown, if there is one.
[[nodiscard]] std::optional<std::int64_t> step_to_stroke(const Canvas& canvas,
                                                         const Snapshot& snapshot,
                                                         const Moment& moment);

}  // namespace strumwright::screens
