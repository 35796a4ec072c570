// app/screens/strokes.h
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "app/engine/now_state.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// Strums (three starts or more) up to the moment, oldest first, at most `most`; the one that runs
/// is the last, as far as it has come.
[[nodiscard]] std::vector<engine::StrokeNow> last_strums(const Snapshot& snapshot,
                                                         const Moment& moment, std::size_t most);

/// Whether it has three starts or more that are no doubles.
[[nodiscard]] bool is_strum(const engine::StrokeNow& stroke);
/// "up"
[[nodiscard]] const char* direction_text(const engine::StrokeNow& stroke);

}  // namespace strumwright::screens
