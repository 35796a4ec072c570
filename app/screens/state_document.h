// app/screens/state_document.h
#pragma once

#include <string>

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "app/screens/view_state.h"

namespace strumwright::screens {

/// The newest strums that the document lists.
inline constexpr std::size_t strums_in_state = 32;

/// What is on screen, as JSON: what outside checks and other programs read of the window.
/// `pixels_a_unit`: window pixels, for the places of targets.
[[nodiscard]] std::string state_document(const Snapshot& snapshot, const ViewState& view,
                                         const Drawn& drawn, float pixels_a_unit);

}  // namespace strumwright::screens
