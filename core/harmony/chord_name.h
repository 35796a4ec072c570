// core/harmony/chord_name.h
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

namespace strumwright::harmony {

/// Index into the table of kinds (core/harmony/chord_kind.h), which is their order of rank.
using KindIndex = std::uint8_t;

/// One reading of a set of notes: root, kind and, not in root position, the bass.
struct Reading {
  std::uint8_t root = 0;   ///< pitch class, 0 is C
  KindIndex kind = 0;
  std::uint8_t bass = 0;   ///< pitch class; equal to `root` in root position
  friend constexpr bool operator==(Reading, Reading) = default;
};

/// What a set of notes is called; plain values, no text. Rules: section 5 (chords).
struct ChordName {
  bool named = false;
  Reading best;                               ///< if named
  std::optional<std::uint8_t> foreign_note;   ///< the note left out to find a name (d)
  std::uint8_t other_count = 0;
  std::array<Reading, 12> others{};           ///< all other exact names, in order
};

/// Names a set of note starts, each once for every time it was started (0 to 127, any order).
/// Nanoseconds; allocates nothing.
[[nodiscard]] ChordName name_chord(std::span<const std::uint8_t> notes);

/// "Am7/C" in ASCII: `Reading` by the default spelling C C# D Eb E F F# G Ab A Bb B.
[[nodiscard]] std::string to_text(Reading reading);
/// "Eb": a pitch class by the default spelling.
[[nodiscard]] const char* pitch_class_text(std::uint8_t pitch_class);
/// "Eb4", with 60 = C4.
[[nodiscard]] std::string note_text(std::uint8_t note);

}  // namespace strumwright::harmony
