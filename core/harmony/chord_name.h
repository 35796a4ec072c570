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
  std::uint8_t root = 0;  ///< pitch class, 0 is C
  KindIndex kind = 0;
  std::uint8_t bass = 0;  ///< pitch class; equal to `root` in root position
  friend constexpr bool operator==(Reading, Reading) = default;
};

/// What a set of notes is called; plain values, no text. Rules: section 5 (chords).
struct ChordName {
  bool named = false;
  Reading best;                              ///< if named
  std::optional<std::uint8_t> foreign_note;  ///< the note left out to find a name (d)
  std::uint8_t other_count = 0;
  std::array<Reading, 12> others{};  ///< all other exact names, in order
};

/// Names a set of note starts, each once for every time it was started (0 to 127, any order).
/// Nanoseconds; allocates nothing.
[[nodiscard]] ChordName name_chord(std::span<const std::uint8_t> notes);
/// The same for the notes of both.
[[nodiscard]] ChordName name_chord(std::span<const std::uint8_t> notes,
                                   std::span<const std::uint8_t> more);

/// Bit i: pitch class i is a tone of the chord or its bass.
[[nodiscard]] std::uint16_t tones_of(Reading reading);
/// Bit i: pitch class i is among the notes.
[[nodiscard]] std::uint16_t pitch_classes_of(std::span<const std::uint8_t> notes);

/// Whether names use the real accidental signs (screens) or ASCII (documents).
enum class Signs : std::uint8_t { ascii, real };

/// "Am7/C": `Reading` by the default spelling C C# D Eb E F F# G Ab A Bb B.
[[nodiscard]] std::string to_text(Reading reading, Signs signs = Signs::ascii);
/// "Eb": a pitch class by the default spelling.
[[nodiscard]] const char* pitch_class_text(std::uint8_t pitch_class, Signs signs = Signs::ascii);
/// "Eb4", with 60 = C4.
[[nodiscard]] std::string note_text(std::uint8_t note, Signs signs = Signs::ascii);

}  // namespace strumwright::harmony
