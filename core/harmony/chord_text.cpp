// core/harmony/chord_text.cpp
#include <array>
#include <string>
#include <string_view>

#include "core/harmony/chord_kind.h"
#include "core/harmony/chord_name.h"

namespace strumwright::harmony {
namespace {

using Spelling = std::array<const char*, 12>;

// Common practice, no source.
constexpr Spelling ascii_names = {"C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"};
constexpr Spelling signed_names = {"C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B"};

/// In suffixes '#' and 'b' are always accidentals.
std::string with_signs(std::string_view suffix, Signs signs) {
  std::string text;
  for (const char letter : suffix) {
    if (signs == Signs::real && letter == '#') {
      text += "♯";
    } else if (signs == Signs::real && letter == 'b') {
      text += "♭";
    } else {
      text += letter;
    }
  }
  return text;
}

}  // namespace

const char* pitch_class_text(std::uint8_t pitch_class, Signs signs) {
  return (signs == Signs::ascii ? ascii_names : signed_names)[pitch_class % 12U];
}

std::string note_text(std::uint8_t note, Signs signs) {
  return pitch_class_text(note, signs) + std::to_string(note / 12 - 1);
}

std::string to_text(Reading reading, Signs signs) {
  std::string text = pitch_class_text(reading.root, signs);
  text += with_signs(chord_kinds()[reading.kind].suffix, signs);
  if (reading.bass == reading.root) return text;
  return text + '/' + pitch_class_text(reading.bass, signs);
}

}  // namespace strumwright::harmony
