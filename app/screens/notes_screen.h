// app/screens/notes_screen.h
#pragma once

#include <optional>

#include "app/screens/finding_book.h"
#include "app/screens/notes_view.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/snapshot.h"
#include "core/publish/json_writer.h"

namespace strumwright::screens {

/// Which note hangs, and why? Lanes, what is held, how notes ended, findings with cause and remedy.
/// `page` picks the one panel of a narrow window.
Intents draw_notes(Canvas& canvas, const Box& box, const Snapshot& snapshot, const Moment& moment,
                   const std::optional<diagnosis::Finding>& picked, const FindingBook& book,
                   NotesView& view, int& page);

/// The same for the state document: lanes with their bars, pins, what is held, as last drawn.
void write_notes(publish::JsonWriter& json, const Snapshot& snapshot, const Moment& moment,
                 const FindingBook& book, const NotesView& view);

}  // namespace strumwright::screens
