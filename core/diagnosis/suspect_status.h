// core/diagnosis/suspect_status.h
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/diagnosis/finding.h"
#include "core/midi/event.h"
#include "core/notes/ledger.h"
#include "core/strum/strum_tracker.h"

namespace strumwright::diagnosis {

/// Finds control changes that look like notes whose status byte was lost (`wire.suspect-status`).
///
/// Such a one came under running status, its controller number is a note that the newest stroke
/// started on that channel, and its value is 0 or that start's velocity. Mode messages (120 to 127)
/// are never taken for notes. For raw sources. A copyable value. Thread: its owner's only.
class SuspectStatus {
 public:
  explicit SuspectStatus(std::uint16_t src) : src_(src) {}

  /// A stroke is final, and the newest until another begins.
  void stroke(const strum::Stroke& stroke);

  /// Takes any message; `strums` holds the open stroke, if there is one.
  /// The finding's note is the one it looks like; `amount` is the value.
  [[nodiscard]] std::optional<Finding> push(const midi::Event& message,
                                            const strum::StrumTracker& strums) const;

  /// The same where there are no times, and so no strokes: a value of 0 for a note that is down.
  [[nodiscard]] std::optional<Finding> push(const midi::Event& message,
                                            const notes::Ledger& ledger) const;

 private:
  [[nodiscard]] Finding make(const midi::Event& message) const;

  std::uint16_t src_;
  std::vector<strum::Onset> newest_;
};

}  // namespace strumwright::diagnosis
