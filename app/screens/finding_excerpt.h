// app/screens/finding_excerpt.h
#pragma once

#include <string>

#include "app/screens/snapshot.h"
#include "core/diagnosis/finding.h"

namespace strumwright::screens {

/// So many bytes before a finding and after it stand in an excerpt (ours).
inline constexpr std::size_t excerpt_bytes = 24;

/// A finding with the bytes around it as plain text, to be sent to whoever can help: what, why,
/// what to do, then the bytes with their times from the finding, a line for each run without a gap.
[[nodiscard]] std::string finding_excerpt(const Snapshot& snapshot,
                                          const diagnosis::Finding& finding);

}  // namespace strumwright::screens
