// core/simulation/heron.h
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace strumwright::simulation {

/// A chord of the Heron: one of 12 roots under one of 8 thumb settings.
struct HeronChord {
  std::uint8_t root = 0;    ///< pitch class, 0 is C
  std::uint8_t thumbs = 0;  ///< bit 0 T1, bit 1 T2, bit 2 T3
  friend constexpr bool operator==(HeronChord, HeronChord) = default;
};

/// The demo instrument (ours): 24 strings in two ranks, 7 buttons, 96 combinations.
struct Heron {
  static constexpr std::uint8_t strings = 24;
  static constexpr std::uint8_t lower_rank = 15;  ///< strings 1 to 15: chord tones from note 36 up
  static constexpr std::uint8_t buttons = 7;      ///< F1 to F4, then T1 to T3
  static constexpr std::uint8_t velocity = 80;

  /// The chord of a combination (bit 0 F1 to bit 3 F4, bit 4 T1 to bit 6 T3); none where the last
  /// chord stays.
  [[nodiscard]] static std::optional<HeronChord> chord_of(std::uint8_t combination);
  [[nodiscard]] static std::uint8_t combination_of(HeronChord chord);
  /// The note of a string, 1 to 24: rising through the chord tones from the root at or above 36;
  /// from string 16 on with the ninth added, from the root at or above 60.
  [[nodiscard]] static std::uint8_t note_of(HeronChord chord, std::uint8_t string);
  /// "F1", "T2": the buttons of a combination.
  [[nodiscard]] static std::vector<std::string_view> button_names(std::uint8_t combination);
};

}  // namespace strumwright::simulation
