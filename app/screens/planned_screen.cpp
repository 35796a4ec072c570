// app/screens/planned_screen.cpp
#include "app/screens/planned_screen.h"

#include <string>

#include "app/screens/parts/panel.h"

namespace strumwright::screens {

namespace {

const char* plan_of(Area area) {
  switch (area) {
    case Area::instrument:
      return "Not built yet. Here you will decide strings, buttons, button code and voicing, and "
             "see at once what that costs on the wire.";
    case Area::prove:
      return "Not built yet. Here a unit will be proved: every combination on every string, every "
             "control, with a report to print.";
    case Area::touch:
      return "Not built yet. Here the same strokes at each sensitivity setting will show which one "
             "suits a hand.";
    case Area::harp:
      return "Not built yet. Here you will play an instrument on screen before it exists.";
    case Area::practise:
      return "Not built yet. Here you will practise combinations, chord changes and tunes.";
    case Area::logbook:
      return "Not built yet. Kept and recorded sessions will stand here, to be compared and "
             "replayed. What you keep now is already written to disk.";
    case Area::hear:
    case Area::notes:
    case Area::wire:
      break;
  }
  return "Not built yet.";
}

}  // namespace

void draw_planned(Canvas& canvas, const Box& box, Area area) {
  draw_empty_hint(canvas, box, text_of(area).title, plan_of(area));
}

}  // namespace strumwright::screens
