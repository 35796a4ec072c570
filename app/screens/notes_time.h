// app/screens/notes_time.h
#pragma once

#include <cstdint>
#include <optional>

#include "app/screens/notes_view.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/parts/time_axis.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// After the last byte pictures that run with time go on for so long, then they rest (ours).
inline constexpr std::int64_t rest_after_ns = 1'000'000'000;

/// Where "now" stands in a picture that follows the session. With nothing arriving it stays a
/// little after the last byte, so that what was played last remains in sight and no frames are
/// drawn; while notes are down it goes on in steps.
[[nodiscard]] std::int64_t followed_ns(const Snapshot& snapshot);
/// Asks for the frames that a picture needs which follows.
void ask_to_follow(Canvas& canvas, const Snapshot& snapshot);

/// The stretch that the lanes show over `plot`, after the keys, the wheel and the moment had their
/// say: the wheel zooms about the pointer, a frozen moment is brought into sight.
[[nodiscard]] TimeScale lanes_scale(Canvas& canvas, const Box& plot, const Snapshot& snapshot,
                                    const Moment& moment, NotesView& view);

/// The stretch that the lanes show, without its place on the screen.
[[nodiscard]] TimeScale lanes_shown(const Snapshot& snapshot, const NotesView& view);

/// Takes presses on `plot`: a drag moves the stretch, a click without a move gives its time.
[[nodiscard]] std::optional<std::int64_t> take_lanes_pointer(const Canvas& canvas, const Box& plot,
                                                             const TimeScale& scale, bool clicked,
                                                             NotesView& view);

}  // namespace strumwright::screens
