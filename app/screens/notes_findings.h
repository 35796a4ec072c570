// app/screens/notes_findings.h
#pragma once

#include <optional>
#include <vector>

#include "app/screens/notes_view.h"
#include "app/screens/parts/canvas.h"
#include "app/screens/parts/finding_groups.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// Findings by kind at the left, the chosen one with evidence, cause and remedy at the right.
/// Without a choice the first one is told. Keys: Up and Down choose, W, C and E as on the buttons.
Intents draw_findings_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                            const std::optional<diagnosis::Finding>& picked,
                            const std::vector<FindingGroup>& groups, NotesView& view);

}  // namespace strumwright::screens
