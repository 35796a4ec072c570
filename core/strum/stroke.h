// core/strum/stroke.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/midi/status.h"
#include "core/notes/ledger.h"

namespace strumwright::strum {

/// The part that an onset plays in its stroke.
enum class Role : std::uint8_t { step, early, doubled };

/// A note start as the strum tracker takes it.
struct Onset {
  std::int64_t t_ns = 0;
  std::uint64_t byte = 0;
  midi::Channel channel;
  std::uint8_t note = 0;
  std::uint8_t velocity = 0;
  std::uint8_t place = 0;              ///< string number if the instrument knows it, else the note
  std::uint8_t message_bytes = 3;      ///< on the wire; 2 under running status
  notes::NoteMask down_before;         ///< pitches down just before this start
  Role role = Role::step;              ///< set by the tracker
  std::int64_t doubled_after_ns = 0;   ///< of a double: since the onset of its place before it
  bool doubles_other_channel = false;  ///< of a double: the onset before it is of another channel
};

enum class Direction : std::uint8_t { up, down, mixed };

/// "up", as documents and screens spell it.
constexpr const char* to_text(Direction direction) {
  constexpr const char* names[] = {"up", "down", "mixed"};
  return names[static_cast<std::size_t>(direction)];
}

/// One stroke of the hand, final or as far as it has come. Times in ns from the session's start.
struct Stroke {
  std::int64_t start_ns = 0;
  std::int64_t end_ns = 0;    ///< last onset, doubles included
  std::vector<Onset> onsets;  ///< by time, at most `limits::stroke_onsets`
  std::uint64_t onsets_left_out = 0;
  int steps = 0;  ///< onsets that are no doubles
  Direction direction = Direction::mixed;
  std::int64_t span_ns = 0;        ///< first to last onset that is no double
  std::optional<double> evenness;  ///< null under 2 gaps
  bool wire_limited = false;       ///< then evenness and direction are not judged
  notes::NoteMask held_through;    ///< down from before the stroke to its last onset

  /// A stroke with fewer than 3 onsets (doubles do not count) is no strum.
  [[nodiscard]] bool is_strum() const { return steps >= 3; }
};

}  // namespace strumwright::strum
