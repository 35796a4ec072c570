// app/screens/parts/chord_text.h
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "app/screens/parts/canvas.h"
#include "core/harmony/chord_name.h"

namespace strumwright::screens {

/// "B♭m7/C"; empty if the notes have no name.
[[nodiscard]] std::string chord_text(const harmony::ChordName& chord);
/// "E♭4"
[[nodiscard]] std::string note_name(std::uint8_t note);

/// A tone of a chord and the part that it plays.
struct Tone {
  std::string name;  ///< "B♭"
  const char* part;  ///< "third"
};
/// From the root upwards.
[[nodiscard]] std::vector<Tone> chord_tones(harmony::Reading reading);

/// Puts a chord name as large as fits, at most `size`, its baseline at `at`; right-aligned names
/// end there. Returns the size that it took.
float draw_chord(Canvas& canvas, Point at, float width, const std::string& name, float size,
                 Align align = Align::left);

}  // namespace strumwright::screens
