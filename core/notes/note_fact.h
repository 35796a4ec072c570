// core/notes/note_fact.h
#pragma once

#include <cstdint>

#include "core/midi/status.h"

namespace strumwright::notes {

/// A note of one source: channel and number.
struct NoteKey {
  midi::Channel channel;
  std::uint8_t number = 0;
  friend constexpr bool operator==(NoteKey, NoteKey) = default;
};

/// How a note ended.
enum class Ending : std::uint8_t { note_off, velocity_zero, mode_message, sense_lost, reset, gone };

/// One line of the account that the ledger keeps. Times in ns from the session's start.
struct NoteFact {
  enum class What : std::uint8_t {
    start,         ///< a Note On with velocity 1 to 127
    end,           ///< a release of a note that was down, or an ending that is no release
    orphan,        ///< a release of a note that was not down
    mode_message,  ///< CC 120, 123 to 127 on `key.channel`; number is the controller. Its `end`s
                   ///< follow
  };
  What what = What::start;
  Ending how = Ending::note_off;  ///< of an end or orphan
  NoteKey key;
  std::uint8_t velocity = 0;  ///< of the start, or of the release
  bool again = false;         ///< of a start: the note was down
  bool to_pedal = false;      ///< of an end: the pedal keeps the sound
  std::int64_t t_ns = 0;
  std::int64_t start_ns = 0;  ///< of an end: the newest start
  std::uint64_t byte = 0;     ///< index of the message's first byte
};

/// A note that is down (or that the pedal keeps) now.
struct HeldNote {
  NoteKey key;
  std::uint8_t velocity = 0;
  std::int64_t since_ns = 0;  ///< the newest start
};

}  // namespace strumwright::notes
