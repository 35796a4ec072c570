// app/screens/first_light.h
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "core/diagnosis/rule.h"

namespace strumwright::screens {

enum class LampState : std::uint8_t { waiting, lit, wrong };

/// One of the five steps from silence to the first good note.
struct Lamp {
  const char* name;
  LampState state = LampState::waiting;
  std::string detail;
};

/// Source open, bytes, plausible rate, legal status bytes, a note.
[[nodiscard]] std::array<Lamp, 5> lamps_of(const Snapshot& snapshot);

/// Why the first dark lamp is dark.
struct Explanation {
  std::string heading;
  std::vector<std::string> causes;  ///< likeliest first
  std::string next;
};
[[nodiscard]] Explanation explain_first_dark(const Snapshot& snapshot,
                                             const std::array<Lamp, 5>& lamps);

/// Draws the card in place of Hear, until a note has sounded.
Intents draw_first_light(Canvas& canvas, const Box& whole, const Snapshot& snapshot);

}  // namespace strumwright::screens
