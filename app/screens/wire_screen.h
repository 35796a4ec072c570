// app/screens/wire_screen.h
#pragma once

#include "app/screens/finding_book.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "app/screens/wire_view.h"
#include "core/publish/json_writer.h"

namespace strumwright::screens {

/// What was on the line? Byte ribbon, load, figures, and that the frame eye needs a line recording.
/// `page` picks the one panel of a narrow window.
Intents draw_wire(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                  const FindingBook& book, WireView& view, int& page);

/// The same for the state document: bytes with their roles, ghost cells, load columns, as last
/// drawn.
void write_wire(publish::JsonWriter& json, const Snapshot& snapshot, const WireView& view);

}  // namespace strumwright::screens
