// app/screens/source_list.h
#pragma once

#include <optional>
#include <span>
#include <string>

#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// A source that could be opened now.
struct SourceChoice {
  std::string id;  ///< as whoever opens it knows it
  std::string name;
  std::string detail;  ///< "MIDI port, JACK"
};

struct SourceListAnswer {
  bool closed = false;
  bool simulate = false;
  std::optional<std::string> open;  ///< id of the choice
};

/// The sources that there are, over everything else, the simulated Heron last.
SourceListAnswer draw_source_list(Canvas& canvas, const Box& window,
                                  std::span<const SourceChoice> choices);

}  // namespace strumwright::screens
