// core/harmony/chord_tracker.cpp
#include "core/harmony/chord_tracker.h"

namespace strumwright::harmony {
namespace {

ChordName name_evidence(std::span<const std::uint8_t> notes, std::span<const std::uint8_t> older) {
  const ChordName alone = name_chord(notes);
  return alone.named || older.empty() ? alone : name_chord(notes, older);
}

/// Whether a screen that shows `shown` may show `next` instead within a stroke.
bool may_follow(const ChordName& next, const ChordName& shown,
                std::span<const std::uint8_t> notes) {
  if (!shown.named) return true;
  if (!next.named) return false;
  if (next.best == shown.best) return true;
  return (pitch_classes_of(notes) & ~tones_of(next.best)) == 0;
}

}  // namespace

ChordName ChordTracker::hear(std::int64_t start_ns, std::span<const std::uint8_t> notes,
                             std::span<const std::uint8_t> older) {
  if (start_ns != stroke_ns_) shown_ = {};
  stroke_ns_ = start_ns;
  const ChordName next = name_evidence(notes, older);
  if (may_follow(next, shown_, notes)) shown_ = next;
  return shown_;
}

ChordTracker::Settled ChordTracker::settle(std::span<const std::uint8_t> notes,
                                           std::span<const std::uint8_t> older) {
  const ChordName name = name_evidence(notes, older);
  const bool changed = name.named && name.best != last_;
  if (changed) last_ = name.best;
  return {name, changed};
}

}  // namespace strumwright::harmony
