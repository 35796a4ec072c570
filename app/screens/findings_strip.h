// app/screens/findings_strip.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "app/screens/parts/canvas.h"
#include "app/screens/parts/finding_groups.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// A line of the strip stays at least so long, so that a repeating fault does not flicker (ours).
inline constexpr double finding_stays_s = 3.0;
/// A sentence of the program itself stands so long (ours).
inline constexpr double notice_stays_s = 6.0;

/// That a mark was set is said so long (ours).
inline constexpr double mark_stays_s = 3.0;

/// The newest mark: where in the session, and when by the window's clock.
struct MarkSet {
  std::int64_t t_ns = 0;
  double set_s = -1e9;
};

/// What the strip shows between frames.
struct FindingsView {
  std::optional<diagnosis::Finding> shown;
  std::uint64_t count = 0;          ///< of its group
  double since_s = 0.0;             ///< when it came
  std::uint64_t notice_serial = 0;  ///< the newest sentence of the program that was seen
  double notice_since_s = -1e9;
  MarkSet mark;
};

/// Draws the strip at the bottom: the first of `groups` as a line, counts at the right.
Intents draw_findings_strip(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                            std::span<const FindingGroup> groups, FindingsView& view,
                            double seconds);

}  // namespace strumwright::screens
