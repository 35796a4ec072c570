// core/harmony/note_parse.cpp
#include "core/harmony/note_parse.h"

#include <charconv>
#include <optional>
#include <string>
#include <utility>

namespace strumwright::harmony {
namespace {

constexpr int default_octave = 4;
constexpr int most_accidentals = 2;

Error error_at(std::string_view word, std::string what) {
  return {std::move(what), "'" + std::string(word) + "'",
          "give a MIDI number from 0 to 127 or a note name such as C4, F#3 or Bb (60 is C4)"};
}

/// Semitones above C; none if it is no note letter.
std::optional<int> semitones_of(char letter) {
  switch (letter) {
    case 'C':
    case 'c':
      return 0;
    case 'D':
    case 'd':
      return 2;
    case 'E':
    case 'e':
      return 4;
    case 'F':
    case 'f':
      return 5;
    case 'G':
    case 'g':
      return 7;
    case 'A':
    case 'a':
      return 9;
    case 'B':
    case 'b':
      return 11;
    default:
      return std::nullopt;
  }
}

/// Takes one accidental off the front of `rest`: +1, -1, or 0 if there is none.
int take_accidental(std::string_view& rest) {
  struct Sign {
    std::string_view text;
    int semitones;
  };
  static constexpr Sign signs[] = {{"#", 1}, {"♯", 1}, {"b", -1}, {"♭", -1}};
  for (const auto& sign : signs) {
    if (!rest.starts_with(sign.text)) continue;
    rest.remove_prefix(sign.text.size());
    return sign.semitones;
  }
  return 0;
}

/// The whole of `text` as a decimal number.
std::optional<int> number_of(std::string_view text) {
  int number = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (fault != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return number;
}

Result<std::uint8_t> in_range(std::string_view word, int note) {
  if (note < 0 || note > 127) return error_at(word, "the note is outside 0 to 127");
  return static_cast<std::uint8_t>(note);
}

Result<std::uint8_t> parse_name(std::string_view word, int semitones) {
  std::string_view rest = word.substr(1);
  for (int taken = 0; taken < most_accidentals; ++taken) semitones += take_accidental(rest);
  const auto octave = rest.empty() ? default_octave : number_of(rest);
  if (!octave) return error_at(word, "no note has this name");
  if (*octave < -2 || *octave > 10) return error_at(word, "the note is outside 0 to 127");
  return in_range(word, (*octave + 1) * 12 + semitones);
}

}  // namespace

Result<std::uint8_t> parse_note(std::string_view word) {
  if (word.empty()) return error_at(word, "the note is missing");
  if (const auto semitones = semitones_of(word.front())) return parse_name(word, *semitones);
  const bool digits =
      word.find_first_not_of("0123456789", word.front() == '-' ? 1 : 0) == std::string_view::npos;
  if (!digits || word == "-") return error_at(word, "no note has this name");
  const auto number = number_of(word);
  if (!number) return error_at(word, "the note is outside 0 to 127");
  return in_range(word, *number);
}

}  // namespace strumwright::harmony
