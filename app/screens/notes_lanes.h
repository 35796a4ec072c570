// app/screens/notes_lanes.h
#pragma once

#include <array>
#include <bitset>
#include <cstdint>
#include <optional>
#include <vector>

#include "app/screens/finding_book.h"
#include "app/screens/notes_bars.h"
#include "app/screens/notes_view.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/parts/time_axis.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// Where the parts of the lanes picture stand. A part without room has no height.
struct LanesFrame {
  Box band, pins, lanes, bytes;
  float axis = 0.0F;  ///< baseline of its times

  [[nodiscard]] Box plot() const {
    return {lanes.x, band.y, lanes.w, (bytes.h > 0.0F ? bytes.bottom() : lanes.bottom()) - band.y};
  }
};
[[nodiscard]] LanesFrame lanes_frame(const Box& inside);

/// The lanes: a pitch each, the highest at the top.
class LaneRows {
 public:
  LaneRows(const Box& box, const std::bitset<128>& pitches);

  [[nodiscard]] bool has(std::uint8_t note) const { return row_[note & 127U] >= 0; }
  /// The middle of its lane, which must be there.
  [[nodiscard]] float y(std::uint8_t note) const;
  [[nodiscard]] float step() const { return step_; }
  [[nodiscard]] const std::vector<std::uint8_t>& notes() const { return notes_; }

 private:
  Box box_;
  float step_ = 0.0F;
  std::vector<std::uint8_t> notes_;
  std::array<std::int16_t, 128> row_{};
};

/// Note lanes: chord band, pins, a lane a pitch, bytes, time axis.
Intents draw_lanes_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                         const Moment& moment, const std::optional<diagnosis::Finding>& picked,
                         const FindingBook& book, NotesView& view);

}  // namespace strumwright::screens
