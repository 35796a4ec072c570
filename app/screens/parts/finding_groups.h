// app/screens/parts/finding_groups.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "app/engine/now_state.h"
#include "core/diagnosis/finding.h"

namespace strumwright::screens {

/// Findings of one rule about one string or note: a fault that repeats is one line with a count.
struct FindingGroup {
  diagnosis::Finding newest;
  std::uint64_t count = 0;
  bool going_on = false;  ///< a note that it is about is still down
};

/// What a group has in common; the same for every finding of it.
[[nodiscard]] std::uint64_t group_key(const diagnosis::Finding& finding);

/// Groups findings, newest first, and puts them in the order of the strip and of Notes: the pinned
/// one's group, then what still goes on, then the worst, then the newest kind.
[[nodiscard]] std::vector<FindingGroup> group_findings(
    std::span<const diagnosis::Finding> newest_first, const engine::Now& now,
    const std::optional<diagnosis::Finding>& pinned);

}  // namespace strumwright::screens
