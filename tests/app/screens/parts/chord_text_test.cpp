// tests/app/screens/parts/chord_text_test.cpp
#include "app/screens/parts/chord_text.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;

TEST_CASE("a chord is spelled with real signs and each tone with its part") {
  struct Row {
    std::vector<std::uint8_t> notes;
    const char* name;
    const char* tones;
  };
  // The parts are a player's words for the degrees (common practice, no source).
  const Row rows[] = {
      {{55, 59, 62, 65}, "G7", "G root B third D fifth F seventh "},
      {{58, 61, 65}, "B♭m", "B♭ root C♯ third F fifth "},
      {{60, 65, 67}, "Csus4", "C root F fourth G fifth "},
      {{60, 63, 66, 69}, "Cdim7", "C root E♭ third F♯ fifth A seventh "},
      {{60, 64, 68}, "Caug", "C root E third A♭ fifth "},
  };
  for (const auto& row : rows) {
    const auto chord = harmony::name_chord(row.notes);
    INFO(screens::chord_text(chord));
    REQUIRE(chord.named);
    CHECK(screens::chord_text(chord) == row.name);
    std::string tones;
    for (const auto& tone : screens::chord_tones(chord.best))
      tones += tone.name + " " + tone.part + " ";
    CHECK(tones == row.tones);
  }
  CHECK(screens::chord_text(harmony::ChordName{}).empty());
  CHECK(screens::note_name(63) == "E♭4");
}
