// app/screens/view_state.h
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "app/screens/area.h"
#include "app/screens/finding_book.h"
#include "app/screens/findings_strip.h"
#include "app/screens/hear_screen.h"
#include "app/screens/notes_view.h"
#include "app/screens/snapshot.h"
#include "app/screens/wire_view.h"

namespace strumwright::screens {

/// What stays between frames: where the user is and what is chosen there. Nothing of the session.
struct ViewState {
  Area area = Area::hear;
  Moment moment;
  std::optional<diagnosis::Finding> picked;  ///< the finding that was opened
  bool far = false;
  bool help = false;
  bool sources = false;  ///< the list of sources is open
  int scale_percent = 100;
  bool light = false;
  int page = 0;             ///< of a narrow window's area
  std::uint64_t epoch = 0;  ///< of the session that moment and choices belong to
  double seconds = 0.0;     ///< the window's own clock at this frame
  FindingsView findings;
  HearView hear;
  NotesView notes;
  WireView wire;
  FindingBook book;  ///< all findings of the session, as far as they were read
};

}  // namespace strumwright::screens
