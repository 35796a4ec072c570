// app/screens/hear_screen.h
#pragma once

#include <cstdint>
#include <optional>

#include "app/engine/now_state.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "core/publish/json_writer.h"

namespace strumwright::screens {

/// What is chosen in Hear, kept between frames.
struct HearView {
  std::uint64_t chosen = 0;                ///< serial of the stroke shown; 0: the newest
  std::optional<engine::StrokeNow> ghost;  ///< laid under the one shown
};

/// What did the hand just do? Chord, comb, strings, last strums; before the first note the
/// first-light card. `page` picks the one panel of a narrow window; `own` keys are read here.
Intents draw_hear(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                  HearView& view, int& page);

/// The same for the state document: the comb and the strings as drawn.
void write_hear(publish::JsonWriter& json, const Snapshot& snapshot, const Moment& moment,
                const HearView& view);

}  // namespace strumwright::screens
