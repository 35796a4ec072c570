// app/screens/hear_strings.h
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "app/engine/now_state.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// A string as it stands in the picture. Without an instrument every pitch in use is one.
struct StringShown {
  std::uint8_t note = 0;
  double level = 0.0;  ///< 1 just struck, 0 at rest
  bool down = false;
  bool hangs = false;  ///< down, and a finding says that it should not be
  std::int64_t since_ns = 0;
};

/// How long a string takes from struck to its resting swell while its note is down (ours).
inline constexpr std::int64_t swell_ns = 2'000'000'000;

/// So many of the last notes keep their strings in the picture (ours).
inline constexpr std::uint64_t notes_in_use = 128;

/// Strings for the pitches of `strums`, of the last notes and of what is down, lowest first.
[[nodiscard]] std::vector<StringShown> strings_of(const Snapshot& snapshot, const Moment& moment,
                                                  std::span<const engine::StrokeNow> strums);

void draw_strings_panel(Canvas& canvas, const Box& box, std::span<const StringShown> strings,
                        bool pinned);

}  // namespace strumwright::screens
