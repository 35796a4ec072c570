// tests/reference/chord_kinds_reference.cpp
// Our table of chord kinds against the definitions of MusicXML 4.0.
#include <map>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "core/harmony/chord_kind.h"
#include "core/harmony/chord_name.h"

using namespace strumwright::harmony;

namespace {

/// A row of the kind-value definitions: a kind is another kind and intervals above the root.
struct Row {
  const char* kind;
  const char* ours;
  const char* base;  // "": nothing
  std::vector<const char*> intervals;
};

// Source: W3C, MusicXML 4.0, data type kind-value: "Triad: major third, perfect fifth." and so on.
// A later row may name an earlier one, as the definitions do.
const std::vector<Row> musicxml = {
    {"major", "maj", "", {"major third", "perfect fifth"}},
    {"minor", "min", "", {"minor third", "perfect fifth"}},
    {"augmented", "aug", "", {"major third", "augmented fifth"}},
    {"diminished", "dim", "", {"minor third", "diminished fifth"}},
    {"dominant", "dom7", "major", {"minor seventh"}},
    {"major-seventh", "maj7", "major", {"major seventh"}},
    {"minor-seventh", "min7", "minor", {"minor seventh"}},
    {"diminished-seventh", "dim7", "diminished", {"diminished seventh"}},
    {"augmented-seventh", "aug7", "augmented", {"minor seventh"}},
    {"half-diminished", "m7b5", "diminished", {"minor seventh"}},
    {"major-minor", "minmaj7", "minor", {"major seventh"}},
    {"major-sixth", "maj6", "major", {"added sixth"}},
    {"minor-sixth", "min6", "minor", {"added sixth"}},
    {"dominant-ninth", "dom9", "dominant", {"major ninth"}},
    {"major-ninth", "maj9", "major-seventh", {"major ninth"}},
    {"minor-ninth", "min9", "minor-seventh", {"major ninth"}},
    {"dominant-11th", "dom11", "dominant-ninth", {"perfect 11th"}},
    {"major-11th", "maj11", "major-ninth", {"perfect 11th"}},
    {"minor-11th", "min11", "minor-ninth", {"perfect 11th"}},
    {"dominant-13th", "dom13", "dominant-11th", {"major 13th"}},
    {"major-13th", "maj13", "major-11th", {"major 13th"}},
    {"minor-13th", "min13", "minor-11th", {"major 13th"}},
    {"suspended-second", "sus2", "", {"major second", "perfect fifth"}},
    {"suspended-fourth", "sus4", "", {"perfect fourth", "perfect fifth"}},
    {"power", "power", "", {"perfect fifth"}},
    // Written there as a kind with a degree added.
    {"major, add 9", "add9", "major", {"major ninth"}},
    {"suspended-fourth, add b7", "7sus4", "suspended-fourth", {"minor seventh"}},
};

const std::map<std::string, int> semitones = {
    {"major second", 2},       {"minor third", 3},    {"major third", 4},     {"perfect fourth", 5},
    {"diminished fifth", 6},   {"perfect fifth", 7},  {"augmented fifth", 8}, {"added sixth", 9},
    {"diminished seventh", 9}, {"minor seventh", 10}, {"major seventh", 11},  {"major ninth", 14},
    {"perfect 11th", 17},      {"major 13th", 21},
};

std::map<std::string, std::set<int>> tones_of_rows() {
  std::map<std::string, std::set<int>> tones;
  for (const auto& row : musicxml) {
    auto& set = tones[row.kind];
    set = std::string(row.base).empty() ? std::set<int>{0} : tones.at(row.base);
    for (const char* interval : row.intervals) set.insert(semitones.at(interval) % 12);
  }
  return tones;
}

std::set<int> tones_of_ours(const std::string& quality) {
  std::set<int> tones;
  for (const auto& kind : chord_kinds()) {
    if (kind.quality != quality) continue;
    for (int tone = 0; tone < 12; ++tone) {
      if ((kind.tones >> tone & 1) != 0) tones.insert(tone);
    }
  }
  return tones;
}

/// Name and others of the tones, lowest first.
std::set<std::string> names_of(const std::vector<std::uint8_t>& notes) {
  const auto name = name_chord(notes);
  std::set<std::string> names;
  if (!name.named) return names;
  const auto root_position = [](Reading reading) {
    return to_text({reading.root, reading.kind, reading.root});
  };
  names.insert(root_position(name.best));
  for (std::size_t k = 0; k < name.other_count; ++k) names.insert(root_position(name.others[k]));
  return names;
}

}  // namespace

TEST_CASE("every kind that MusicXML 4.0 defines has its tones") {
  const auto tones = tones_of_rows();
  for (const auto& row : musicxml) {
    INFO(std::string(row.kind));
    CHECK(tones_of_ours(row.ours) == tones.at(row.kind));
  }
}

// Derived from the MusicXML definitions over all twelve roots: these sets have several names among
// them, and no other.
TEST_CASE("sets with several names have exactly these") {
  struct Same {
    std::vector<std::uint8_t> notes;
    std::set<std::string> names;
  };
  const Same rows[] = {
      {{60, 64, 67, 69}, {"C6", "Am7"}},
      {{60, 63, 67, 69}, {"Cm6", "Am7b5"}},
      {{60, 62, 67}, {"Csus2", "Gsus4"}},
      {{60, 64, 68}, {"Caug", "Eaug", "Abaug"}},
      {{60, 63, 66, 69}, {"Cdim7", "Ebdim7", "F#dim7", "Adim7"}},
      {{60, 62, 64, 65, 67, 69, 70}, {"C13", "Fmaj13", "Gm13"}},
  };
  for (const auto& row : rows) CHECK(names_of(row.notes) == row.names);

  // Every other set of the definitions has one name alone.
  std::map<std::set<int>, std::set<std::string>> kinds_of_set;
  for (const auto& [kind, tones] : tones_of_rows()) {
    for (int root = 0; root < 12; ++root) {
      std::set<int> set;
      for (const int tone : tones) set.insert((tone + root) % 12);
      kinds_of_set[set].insert(kind);
    }
  }
  std::set<std::set<std::string>> shared;
  for (const auto& [set, kinds] : kinds_of_set) {
    if (kinds.size() > 1) shared.insert(kinds);
  }
  const std::set<std::set<std::string>> expected = {
      {"major-sixth", "minor-seventh"},
      {"minor-sixth", "half-diminished"},
      {"suspended-second", "suspended-fourth"},
      {"dominant-13th", "major-13th", "minor-13th"},
  };
  CHECK(shared == expected);
}
