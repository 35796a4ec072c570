// core/strum/stroke_measures.h
#pragma once

#include <optional>
#include <vector>

#include "core/strum/stroke.h"

namespace strumwright::strum {

/// Of 100 gaps, how many must be as long as the wire makes them (ours).
inline constexpr int wire_limited_percent = 80;
/// How far such a gap may be from the wire time of the earlier message (ours).
inline constexpr int wire_time_tolerance_percent = 10;

/// Fills in what is measured over a whole stroke: steps, span, wire_limited, direction, evenness.
///
/// Reads times, places, roles and message bytes of `stroke.onsets`; doubles take no part.
/// With `wire_limited`, direction stays mixed and evenness null: both are not judged.
void measure(Stroke& stroke);

/// Takes back what rests on times, where they cannot be trusted (grade `batched`): not
/// wire-limited, no evenness, and the direction that the order alone gives.
void distrust_times(Stroke& stroke);

/// Spearman's rank correlation of order and place: >= 0.5 up, <= -0.5 down, else mixed (and mixed
/// for a single onset). `places` in time order, all different: a stroke has no place twice.
/// Source: Spearman 1904, in the form without ties, 1 - 6 sum d^2 / (n (n^2 - 1)).
[[nodiscard]] Direction direction_of(const std::vector<std::uint8_t>& places);

/// 1 - population SD / mean of the gaps, floored at 0; null under 2 gaps, and where all gaps are 0.
[[nodiscard]] std::optional<double> evenness_of(const std::vector<std::int64_t>& gaps_ns);

}  // namespace strumwright::strum
