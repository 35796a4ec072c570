// core/harmony/chord_kind.h
#pragma once

#include <cstdint>
#include <span>

#include "core/harmony/chord_name.h"

namespace strumwright::harmony {

/// A chord kind. Source: MusicXML 4.0 kind-value definitions where it has one.
struct ChordKind {
  const char* quality;  ///< "maj7", as documents name it
  const char* suffix;   ///< "maj7", as chord names end
  const char* words;    ///< "major seventh", as a player says it
  std::uint16_t tones;  ///< bit i: i semitones above the root
};

/// All kinds in their order of rank.
[[nodiscard]] std::span<const ChordKind> chord_kinds();

}  // namespace strumwright::harmony
