// app/screens/hear_strums.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "app/engine/now_state.h"
#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// How many of the last strums a panel of this width shows.
[[nodiscard]] std::size_t strums_for(float width);

/// The newest that `columns` have room for, or older ones so that `chosen` is among them.
[[nodiscard]] std::span<const engine::StrokeNow> strums_in_sight(
    std::span<const engine::StrokeNow> strums, std::size_t columns, std::uint64_t chosen);

/// The last strums side by side, oldest at the left, on one time scale; `chosen` is marked.
/// Returns the serial of the one that was clicked.
std::optional<std::uint64_t> draw_strums_panel(Canvas& canvas, const Box& box,
                                               std::span<const engine::StrokeNow> strums,
                                               std::uint64_t chosen);

}  // namespace strumwright::screens
