// app/screens/notes_bars.h
#pragma once

#include <cstdint>
#include <vector>

#include "app/engine/history.h"
#include "app/screens/finding_book.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// A note in the lanes, from its start to its end.
struct NoteBar {
  static constexpr std::uint8_t down = 254;  ///< `ending` of one that is down now

  std::int64_t start_ns = 0;
  std::int64_t end_ns = 0;   ///< of one that is down: now
  std::uint8_t channel = 0;  ///< index
  std::uint8_t note = 0;
  std::uint8_t ending = 0;  ///< notes::Ending, engine::NoteSpan::started_again or `down`
  bool hangs = false;       ///< a finding says that it should have ended
  [[nodiscard]] bool is_down() const { return ending == down; }
};

/// Notes of the history that were sounding at one instant and have ended since.
///
/// Kept between frames: as long as the instant stays, only what was appended since is read.
class SoundingAt {
 public:
  /// The notes down at `t_ns`, of those that the history has.
  const std::vector<engine::NoteSpan>& read(const decltype(engine::History::notes)::View& view,
                                            std::int64_t t_ns);

 private:
  std::int64_t t_ns_ = -1;
  std::uint64_t next_ = 0;
  std::vector<engine::NoteSpan> spans_;
};

/// The notes that sound at any time in [from_ns, to_ns], those that ended first, then those that
/// are down still. `beyond` remembers what reaches over the right edge.
[[nodiscard]] std::vector<NoteBar> bars_between(const Snapshot& snapshot, const FindingBook& book,
                                                SoundingAt& beyond, std::int64_t from_ns,
                                                std::int64_t to_ns);

/// The notes that are down at an instant, oldest first; `beyond` is kept for that instant alone.
[[nodiscard]] std::vector<NoteBar> bars_at(const Snapshot& snapshot, const FindingBook& book,
                                           SoundingAt& beyond, std::int64_t at_ns);

}  // namespace strumwright::screens
