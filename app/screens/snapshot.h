// app/screens/snapshot.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "app/engine/now_state.h"
#include "app/screens/area.h"
#include "app/screens/source_list.h"
#include "core/diagnosis/finding.h"

namespace strumwright::engine {
struct History;
}

namespace strumwright::screens {

/// All that one frame reads. Good for the frame only; nothing in it changes meanwhile.
struct Snapshot {
  const engine::Now& now;
  const engine::History& history;  ///< take a `view()` of the lists that you need
  std::int64_t clock_ns = 0;       ///< the session's clock at this frame, for what moves
  bool running = false;            ///< a live session, not a file read to its end
  std::span<const SourceChoice> sources = {};  ///< that could be opened
  bool can_release = false;                    ///< an output is open that notes can be ended on

  /// Whether there is something to keep, record or mark: a file is read only.
  [[nodiscard]] bool can_record() const { return running && !now.from_file; }
};

/// The instant that Hear, Notes and Wire show: one time cursor for the three.
struct Moment {
  std::optional<std::int64_t> pinned_ns;  ///< none: they follow the session
  [[nodiscard]] bool pinned() const { return pinned_ns.has_value(); }
  /// The instant to show.
  [[nodiscard]] std::int64_t at(const Snapshot& snapshot) const {
    return pinned_ns.value_or(snapshot.clock_ns);
  }
};

/// What the user asked for in one frame. Screens only ask; the window has it done.
struct Intents {
  bool keep = false;
  bool toggle_recording = false;
  bool mark = false;
  bool release_all = false;
  bool start_simulation = false;
  bool choose_source = false;
  std::optional<std::string> open_source;          ///< id of a `SourceChoice`
  bool follow = false;                             ///< end of a pinned moment
  std::optional<std::int64_t> pin_ns;              ///< freeze Hear, Notes and Wire at this instant
  std::optional<diagnosis::Finding> open_finding;  ///< pin its instant and show it in Notes
  std::optional<Area> go;
  std::optional<std::string> copy;  ///< text for the clipboard

  /// Adds what another part of the same frame asked for.
  void add(Intents other);
};

}  // namespace strumwright::screens
