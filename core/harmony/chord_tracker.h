// core/harmony/chord_tracker.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/harmony/chord_name.h"

namespace strumwright::harmony {

/// Follows the name of the chord of one source from stroke to stroke.
///
/// Notes are the starts of the stroke without doubles, each as often as it was started; `older` are
/// notes down from before the stroke to its last onset, used only when the stroke alone has no
/// name. A copyable value; knows no clock. Thread: its owner's only.
class ChordTracker {
 public:
  /// The stroke so far (its first onset at `start_ns`): the name to show now. Inside a stroke it
  /// changes only to a name whose tones include all heard so far, and never back to none.
  ChordName hear(std::int64_t start_ns, std::span<const std::uint8_t> notes,
                 std::span<const std::uint8_t> older);

  struct Settled {
    ChordName name;
    bool changed = false;  ///< named, and not as the last settled name: an entry of `chords`
  };
  /// The stroke is final.
  Settled settle(std::span<const std::uint8_t> notes, std::span<const std::uint8_t> older);

  /// The last settled name, if any.
  [[nodiscard]] std::optional<Reading> last() const { return last_; }

 private:
  std::optional<Reading> last_;
  std::int64_t stroke_ns_ = -1;
  ChordName shown_;
};

}  // namespace strumwright::harmony
