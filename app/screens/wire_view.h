// app/screens/wire_view.h
#pragma once

#include <cstdint>
#include <optional>

namespace strumwright::screens {

/// What stays of Wire between frames: which stretch the ribbon shows.
struct WireView {
  /// The pointer holds the ribbon since it was pressed.
  struct Drag {
    float x = 0.0F;
    float y = 0.0F;
    std::int64_t from_ns = 0;
    bool moved = false;
  };

  int zoom = 0;                         ///< doublings of a row's time; 0: as wide as fits best
  std::optional<std::int64_t> from_ns;  ///< start of the first row, where it does not follow
  std::optional<std::int64_t> seen_pin_ns;
  std::optional<Drag> drag;
  std::int64_t followed_from_ns = 0;  ///< where following has come to
  std::int64_t turned_ns = -1;        ///< when it last turned the page
  // As last drawn, for the state document.
  std::int64_t shown_from_ns = 0;
  std::int64_t shown_to_ns = 0;
  std::int64_t shown_row_ns = 0;
  std::int64_t load_from_ns = 0;
  std::int64_t load_to_ns = 0;
};

}  // namespace strumwright::screens
