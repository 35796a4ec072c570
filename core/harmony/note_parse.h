// core/harmony/note_parse.h
#pragma once

#include <cstdint>
#include <string_view>

#include "core/result.h"

namespace strumwright::harmony {

/// A note as people type it: a MIDI number ("60") or a name ("C4", "F#3", "Bb-1", "Cbb4"), with up
/// to two accidentals, ASCII or real signs; without an octave it is octave 4. 60 = C4.
/// Errors: what is wrong with which word. `where` names the word.
[[nodiscard]] Result<std::uint8_t> parse_note(std::string_view word);

}  // namespace strumwright::harmony
