// app/screens/notes_held.h
#pragma once

#include <cstdint>
#include <vector>

#include "app/screens/notes_bars.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// Notes that stay down so long are listed by name, whatever findings say (ours).
inline constexpr std::int64_t long_held_ns = 5'000'000'000;

/// The notes that are down at an instant, as the panel lists them.
struct HeldList {
  std::vector<NoteBar> named;  ///< those that hang, then those held long; oldest first
  std::uint64_t others = 0;    ///< the rest
  std::int64_t at_ns = 0;
  bool pinned = false;
  bool can_release = false;
  bool channels = false;  ///< more than one channel is in use
};
[[nodiscard]] HeldList held_list(const Snapshot& snapshot, const Moment& moment,
                                 const FindingBook& book, SoundingAt& at_moment);

/// "Held now", with the button that releases everything; true if it was chosen.
bool draw_held_panel(Canvas& canvas, const Box& box, const HeldList& held);

}  // namespace strumwright::screens
