// core/diagnosis/start_log.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "core/limits.h"
#include "core/notes/note_fact.h"
#include "core/strum/stroke.h"

namespace strumwright::diagnosis {

/// A note start and what became of it. Orders are numbers of facts, from 1; 0: not so far.
struct LoggedStart {
  notes::NoteKey key;
  bool released = false;  ///< of the ending: it was a release
  std::uint64_t order = 0;
  std::uint64_t restart_order = 0;  ///< the note was started again while down
  std::uint64_t end_order = 0;
  std::uint64_t end_byte = 0;
  std::int64_t end_ns = 0;
};

/// The starts of one source whose strokes are not final yet, so that a stroke, when it comes, can
/// be judged as it stood at any moment since. Logs what the strum tracker is given and in that
/// order: no channel 10, no more than a stroke may have. A copyable value of bounded memory.
/// Thread: its owner's only.
class StartLog {
 public:
  void start(notes::NoteKey key, std::uint64_t order);
  void end(const notes::NoteFact& fact, std::uint64_t order);

  /// The starts of a final stroke, in its order; it and what came before it are logged no longer.
  /// Empty if they are not all known. Good until the next call.
  [[nodiscard]] std::span<const LoggedStart> take(const strum::Stroke& stroke);

  /// Whether the note is down by a start that is logged.
  [[nodiscard]] bool has(notes::NoteKey key) const { return place_of_[index_of(key)] > taken_; }
  /// How many of the logged starts were released.
  [[nodiscard]] std::size_t releases() const { return releases_; }
  /// The order of the oldest start that is logged; the greatest number if there is none.
  [[nodiscard]] std::uint64_t oldest() const {
    return starts_.empty() ? std::numeric_limits<std::uint64_t>::max() : starts_.front().order;
  }

 private:
  static std::size_t index_of(notes::NoteKey key) {
    return (key.channel.index & 15U) * std::size_t{128} + (key.number & 127U);
  }

  std::vector<LoggedStart> starts_;
  std::vector<LoggedStart> final_;  ///< what `take` gave, kept for its memory
  std::uint64_t taken_ = 0;         ///< starts that were logged and are no longer
  std::size_t releases_ = 0;
  std::array<std::uint64_t, 2048> place_of_{};  ///< by note: of its open start, from 1; or stale
};

}  // namespace strumwright::diagnosis
