// app/screens/notes_view.h
#pragma once

#include <bitset>
#include <cstdint>
#include <optional>

#include "app/screens/notes_bars.h"

namespace strumwright::screens {

/// How wide the lanes are at first, and how near and far they can be seen (ours).
inline constexpr std::int64_t lanes_span_ns = 2'000'000'000;
inline constexpr std::int64_t least_lanes_span_ns = 20'000'000;
inline constexpr std::int64_t most_lanes_span_ns = 120'000'000'000;

/// What stays of Notes between frames: which stretch of time the lanes show, and what was read.
struct NotesView {
  /// The pointer holds the lanes since it was pressed.
  struct Drag {
    float x = 0.0F;
    std::int64_t right_ns = 0;
    bool moved = false;
  };

  std::int64_t span_ns = lanes_span_ns;
  std::optional<std::int64_t> right_ns;  ///< right edge, where it does not follow
  std::optional<std::int64_t> seen_pin_ns;
  std::optional<Drag> drag;
  std::bitset<128> lanes;  ///< pitches that have a lane
  int first_row = 0;       ///< of the list of findings
  bool explain = false;
  SoundingAt at_edge;
  SoundingAt at_moment;
};

}  // namespace strumwright::screens
