// app/screens/state_document.h
#pragma once

#include <cstdint>
#include <string>

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "app/screens/view_state.h"

namespace strumwright::screens {

/// The newest strums that the document lists.
inline constexpr std::size_t strums_in_state = 32;

/// What the window adds to its state.
struct WindowFacts {
  float pixels_a_unit = 1.0F;       ///< window pixels, for the places of targets
  std::int64_t first_frame_ns = 0;  ///< when the first frame was shown, by the monotonic clock
};

/// What is on screen, as JSON: what outside checks and other programs read of the window.
[[nodiscard]] std::string state_document(const Snapshot& snapshot, const ViewState& view,
                                         const Drawn& drawn, const WindowFacts& facts);

}  // namespace strumwright::screens
