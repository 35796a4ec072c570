// core/harmony/chord_kind.cpp
#include "core/harmony/chord_kind.h"

#include <initializer_list>

namespace strumwright::harmony {
namespace {

constexpr std::uint16_t tones(std::initializer_list<int> semitones) {
  std::uint16_t mask = 0;
  for (const int semitone : semitones) mask = static_cast<std::uint16_t>(mask | 1U << semitone);
  return mask;
}

// Tones: MusicXML 4.0 kind-value definitions where it has the kind; the rest are common practice,
// no source. The order of rank is ours.
constexpr ChordKind kinds[] = {
    {"maj", "", "major", tones({0, 4, 7})},
    {"min", "m", "minor", tones({0, 3, 7})},
    {"dom7", "7", "dominant seventh", tones({0, 4, 7, 10})},
    {"min7", "m7", "minor seventh", tones({0, 3, 7, 10})},
    {"maj7", "maj7", "major seventh", tones({0, 4, 7, 11})},
    {"sus4", "sus4", "suspended fourth", tones({0, 5, 7})},
    {"maj6", "6", "major sixth", tones({0, 4, 7, 9})},
    {"min6", "m6", "minor sixth", tones({0, 3, 7, 9})},
    {"dim", "dim", "diminished", tones({0, 3, 6})},
    {"m7b5", "m7b5", "half diminished", tones({0, 3, 6, 10})},
    {"add9", "add9", "added ninth", tones({0, 2, 4, 7})},
    {"sus2", "sus2", "suspended second", tones({0, 2, 7})},
    {"dom9", "9", "dominant ninth", tones({0, 2, 4, 7, 10})},
    {"min9", "m9", "minor ninth", tones({0, 2, 3, 7, 10})},
    {"maj9", "maj9", "major ninth", tones({0, 2, 4, 7, 11})},
    {"7sus4", "7sus4", "seventh suspended fourth", tones({0, 5, 7, 10})},
    {"minmaj7", "m(maj7)", "minor with major seventh", tones({0, 3, 7, 11})},
    {"dim7", "dim7", "diminished seventh", tones({0, 3, 6, 9})},
    {"aug", "aug", "augmented", tones({0, 4, 8})},
    {"power", "5", "fifth without third", tones({0, 7})},
    {"aug7", "7#5", "augmented seventh", tones({0, 4, 8, 10})},
    {"madd9", "m(add9)", "minor with added ninth", tones({0, 2, 3, 7})},
    {"six9", "6/9", "sixth with ninth", tones({0, 2, 4, 7, 9})},
    {"min69", "m6/9", "minor sixth with ninth", tones({0, 2, 3, 7, 9})},
    {"dom7b9", "7b9", "seventh with flat ninth", tones({0, 1, 4, 7, 10})},
    {"dom7s9", "7#9", "seventh with sharp ninth", tones({0, 3, 4, 7, 10})},
    {"dom7b5", "7b5", "seventh with flat fifth", tones({0, 4, 6, 10})},
    {"dom7s11", "7#11", "seventh with sharp eleventh", tones({0, 4, 6, 7, 10})},
    {"maj7s5", "maj7#5", "major seventh with sharp fifth", tones({0, 4, 8, 11})},
    {"maj7b5", "maj7b5", "major seventh with flat fifth", tones({0, 4, 6, 11})},
    {"dom11", "11", "dominant eleventh", tones({0, 2, 4, 5, 7, 10})},
    {"min11", "m11", "minor eleventh", tones({0, 2, 3, 5, 7, 10})},
    {"maj11", "maj11", "major eleventh", tones({0, 2, 4, 5, 7, 11})},
    {"dom13", "13", "dominant thirteenth", tones({0, 2, 4, 5, 7, 9, 10})},
    {"min13", "m13", "minor thirteenth", tones({0, 2, 3, 5, 7, 9, 10})},
    {"maj13", "maj13", "major thirteenth", tones({0, 2, 4, 5, 7, 9, 11})},
};

}  // namespace

std::span<const ChordKind> chord_kinds() { return kinds; }

}  // namespace strumwright::harmony
