// tests/core/harmony/chord_name_test.cpp
#include "core/harmony/chord_name.h"

#include <algorithm>
#include <map>
#include <optional>
#include <random>
#include <set>
#include <sstream>
#include <string>
#include <tuple>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::harmony;

namespace {

using Notes = std::vector<std::uint8_t>;

// The list of the rules, word for word: quality, suffix ("-": none) and semitones.
constexpr const char* listed_kinds =
    "maj - 0 4 7\nmin m 0 3 7\ndom7 7 0 4 7 10\nmin7 m7 0 3 7 10\nmaj7 maj7 0 4 7 11\n"
    "sus4 sus4 0 5 7\nmaj6 6 0 4 7 9\nmin6 m6 0 3 7 9\ndim dim 0 3 6\nm7b5 m7b5 0 3 6 10\n"
    "add9 add9 0 2 4 7\nsus2 sus2 0 2 7\ndom9 9 0 2 4 7 10\nmin9 m9 0 2 3 7 10\n"
    "maj9 maj9 0 2 4 7 11\n7sus4 7sus4 0 5 7 10\nminmaj7 m(maj7) 0 3 7 11\ndim7 dim7 0 3 6 9\n"
    "aug aug 0 4 8\npower 5 0 7\naug7 7#5 0 4 8 10\nmadd9 m(add9) 0 2 3 7\nsix9 6/9 0 2 4 7 9\n"
    "min69 m6/9 0 2 3 7 9\ndom7b9 7b9 0 1 4 7 10\ndom7s9 7#9 0 3 4 7 10\ndom7b5 7b5 0 4 6 10\n"
    "dom7s11 7#11 0 4 6 7 10\nmaj7s5 maj7#5 0 4 8 11\nmaj7b5 maj7b5 0 4 6 11\n"
    "dom11 11 0 2 4 5 7 10\nmin11 m11 0 2 3 5 7 10\nmaj11 maj11 0 2 4 5 7 11\n"
    "dom13 13 0 2 4 5 7 9 10\nmin13 m13 0 2 3 5 7 9 10\nmaj13 maj13 0 2 4 5 7 9 11\n";

struct ListedKind {
  std::string quality;
  std::string suffix;
  std::set<int> tones;
};

const std::vector<ListedKind>& kinds_of_the_rules() {
  static const auto kinds = [] {
    std::vector<ListedKind> read;
    std::istringstream lines(listed_kinds);
    for (std::string line; std::getline(lines, line);) {
      std::istringstream words(line);
      ListedKind kind;
      words >> kind.quality >> kind.suffix;
      if (kind.suffix == "-") kind.suffix.clear();
      for (int tone = 0; words >> tone;) kind.tones.insert(tone);
      read.push_back(kind);
    }
    return read;
  }();
  return kinds;
}

/// The rules of naming told again the slow way: sets, sorting and texts.
struct Oracle {
  std::optional<std::string> name;
  std::vector<std::string> others;
  std::optional<int> foreign;
};

std::string spelled(int pitch_class) {
  static const char* names[] = {"C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"};
  return names[pitch_class];
}

std::vector<std::string> find_readings(const std::set<int>& classes, int bass, bool drop_fifth) {
  std::vector<std::tuple<bool, std::size_t, int, std::string>> found;
  const auto& kinds = kinds_of_the_rules();
  for (std::size_t rank = 0; rank < kinds.size(); ++rank) {
    auto tones = kinds[rank].tones;
    if (drop_fifth && (tones.size() < 4 || tones.erase(7) == 0)) continue;
    for (int root = 0; root < 12; ++root) {
      std::set<int> sounding;
      for (const int tone : tones) sounding.insert((root + tone) % 12);
      if (sounding != classes) continue;
      auto text = spelled(root) + kinds[rank].suffix;
      if (root != bass) text += "/" + spelled(bass);
      found.emplace_back(root != bass, rank, root, text);
    }
  }
  std::sort(found.begin(), found.end());
  std::vector<std::string> texts;
  for (const auto& [away, rank, root, text] : found) texts.push_back(text);
  return texts;
}

/// Remembered, for the oracle is as slow as it is plain.
const std::vector<std::string>& readings(const std::set<int>& classes, int bass, bool drop_fifth) {
  static std::map<std::tuple<std::set<int>, int, bool>, std::vector<std::string>> known;
  const auto [place, fresh] = known.try_emplace({classes, bass, drop_fifth});
  if (fresh) place->second = find_readings(classes, bass, drop_fifth);
  return place->second;
}

Oracle first_of(const std::vector<std::string>& exact, std::optional<int> foreign = {}) {
  return {exact.front(), {exact.begin() + 1, exact.end()}, foreign};
}

Oracle oracle(const Notes& notes) {
  if (notes.empty()) return {};
  const int lowest = *std::min_element(notes.begin(), notes.end());
  const int bass = lowest % 12;
  std::map<int, std::multiset<int>> by_class;
  std::set<int> classes;
  for (const int note : notes) {
    by_class[note % 12].insert(note);
    classes.insert(note % 12);
  }
  if (const auto exact = readings(classes, bass, false); !exact.empty()) return first_of(exact);
  if (const auto loose = readings(classes, bass, true); !loose.empty()) return {loose[0], {}, {}};
  const auto& of_bass = by_class[bass];
  if (of_bass.count(lowest) == of_bass.size()) {
    auto rest = classes;
    rest.erase(bass);
    if (const auto exact = readings(rest, bass, false); !exact.empty()) return first_of(exact);
  }
  std::vector<int> single;
  for (const auto& [pitch_class, sounding] : by_class) {
    if (sounding.size() == 1) single.push_back(pitch_class);
  }
  if (single.size() != 1) return {};
  auto rest = classes;
  rest.erase(single[0]);
  if (const auto exact = readings(rest, bass, false); !exact.empty()) {
    return first_of(exact, *by_class[single[0]].begin());
  }
  return {};
}

Oracle as_text(const ChordName& name) {
  Oracle said;
  if (name.named) said.name = to_text(name.best);
  for (std::size_t k = 0; k < name.other_count; ++k) said.others.push_back(to_text(name.others[k]));
  if (name.foreign_note) said.foreign = *name.foreign_note;
  return said;
}

bool same(const Oracle& a, const Oracle& b) {
  return a.name == b.name && a.others == b.others && a.foreign == b.foreign;
}

std::string shown(const Notes& notes) {
  std::string text;
  for (const int note : notes) text += std::to_string(note) + " ";
  return text;
}

}  // namespace

TEST_CASE("chords are named by the steps (a) to (e), in that order") {
  struct Row {
    const char* why;
    Notes notes;
    const char* name;  // empty: none
    std::vector<std::string> others;
    std::optional<int> foreign;
  };
  const Row rows[] = {
      {"nothing sounds", {}, "", {}, {}},
      {"one note has no name", {60}, "", {}, {}},
      {"one pitch class has no name", {36, 48, 60}, "", {}, {}},
      {"a fifth alone has a name", {48, 55}, "C5", {}, {}},
      {"a fourth is a fifth over its upper tone", {43, 48}, "C5/G", {}, {}},
      {"a third has none", {48, 52}, "", {}, {}},
      {"(a) the exact set", {36, 40, 43, 48, 52}, "C", {}, {}},
      {"(a) whatever the order of the notes", {52, 43, 48, 36, 40}, "C", {}, {}},
      {"(a) an inversion", {40, 43, 48}, "C/E", {}, {}},
      {"(a) the lowest note decides between equals", {48, 52, 55, 57}, "C6", {"Am7/C"}, {}},
      {"(a) and so the other way", {45, 48, 52, 55}, "Am7", {"C6/A"}, {}},
      {"(a) then rank: min7 before maj6", {43, 48, 52, 57}, "Am7/G", {"C6/G"}, {}},
      {"(a) sus2 and sus4 by the lowest note", {43, 48, 50}, "Gsus4", {"Csus2/G"}, {}},
      {"(a) a symmetric chord by its lowest note",
       {51, 54, 57, 60},
       "Ebdim7",
       {"Cdim7/Eb", "F#dim7/Eb", "Adim7/Eb"},
       {}},
      {"(b) a seventh without its fifth", {48, 52, 58}, "C7", {}, {}},
      {"(b) over another tone of its own", {52, 58, 60}, "C7/E", {}, {}},
      {"(c) an exact set over a lowest tone of its own", {41, 48, 52, 55}, "C/F", {}, {}},
      {"(c) when (b) has no name", {42, 48, 52, 55, 60}, "C/F#", {}, {}},
      {"(c) not when the lowest tone sounds higher too", {42, 48, 52, 55, 66}, "", {}, {}},
      {"(c) the lowest note twice still sounds only as the lowest",
       {42, 42, 48, 52, 55},
       "C/F#",
       {},
       {}},
      {"(c) the order of kinds decides", {46, 48, 52, 55, 57}, "Am7/Bb", {"C6/Bb"}, {}},
      {"(d) one tone once, all others twice", {48, 52, 54, 55, 60, 64, 67}, "C", {}, 54},
      {"(d) not when another sounds once", {48, 52, 54, 55, 60, 64}, "", {}, {}},
      {"(d) not when the foreign tone sounds twice", {48, 52, 54, 55, 60, 64, 66, 67}, "", {}, {}},
      {"(d) root by the lowest note, others too",
       {48, 52, 54, 55, 57, 60, 64, 67, 69},
       "C6",
       {"Am7/C"},
       54},
      {"(e) no name", {48, 49, 50, 51}, "", {}, {}},
  };
  for (const auto& row : rows) {
    INFO(std::string(row.why));
    const auto said = as_text(name_chord(row.notes));
    CHECK(said.name.value_or("") == row.name);
    CHECK(said.others == row.others);
    CHECK(said.foreign == row.foreign);
  }
}

TEST_CASE("every set over every bass is named as the rules say") {
  int named = 0;
  for (int mask = 1; mask < 4096; ++mask) {
    for (int bass = 0; bass < 12; ++bass) {
      // The bass far below, its pitch class above or not: steps (a) to (c).
      Notes notes{static_cast<std::uint8_t>(36 + bass)};
      for (int tone = 0; tone < 12; ++tone) {
        if ((mask >> tone & 1) != 0) notes.push_back(static_cast<std::uint8_t>(60 + tone));
      }
      const auto said = as_text(name_chord(notes));
      named += said.name.has_value();
      if (!same(said, oracle(notes))) FAIL_CHECK("differs: " << shown(notes));
    }
  }
  CHECK(named > 5000);
}

TEST_CASE("any multiset of notes is named as the rules say") {
  std::mt19937 random(1);
  int foreign = 0;
  int slash = 0;
  for (int round = 0; round < 25'000; ++round) {
    Notes notes;
    const auto& kind = kinds_of_the_rules()[random() % kinds_of_the_rules().size()];
    const int root = static_cast<int>(random() % 12);
    for (const int tone : kind.tones) {
      for (unsigned copy = random() % 4; copy > 0; --copy) {
        notes.push_back(static_cast<std::uint8_t>(36 + root + tone + 12 * (random() % 4)));
      }
    }
    for (unsigned odd = random() % 3; odd > 0; --odd) {
      notes.push_back(static_cast<std::uint8_t>(random() % 128));
    }
    std::shuffle(notes.begin(), notes.end(), random);
    const auto said = as_text(name_chord(notes));
    foreign += said.foreign.has_value();
    slash += said.name && said.name->find('/') != std::string::npos;
    if (!same(said, oracle(notes))) FAIL_CHECK("differs: " << shown(notes));
  }
  CHECK(foreign > 50);
  CHECK(slash > 500);
}

TEST_CASE("older notes count as notes") {
  const Notes stroke{55, 64};
  const Notes older{48, 60};
  CHECK(as_text(name_chord(stroke, older)).name == "C");
  // The foreign note is found on either side.
  const Notes doubled{48, 52, 55, 60, 64, 67};
  CHECK(as_text(name_chord(doubled, Notes{54})).foreign == 54);
  // The bass may be on either side, and must sound nowhere else on both.
  CHECK(as_text(name_chord(doubled, Notes{42})).name == "C/F#");
  CHECK_FALSE(as_text(name_chord(doubled, Notes{42, 66})).name);
}

TEST_CASE("the tones of a name are its kind's and its bass") {
  const auto name = name_chord(Notes{42, 48, 52, 55});
  REQUIRE(name.named);
  CHECK(tones_of(name.best) == (1U << 0 | 1U << 4 | 1U << 7 | 1U << 6));
  CHECK(pitch_classes_of(Notes{42, 54, 60}) == (1U << 0 | 1U << 6));
}

TEST_CASE("names are spelled in ASCII or with real signs") {
  struct Row {
    Reading reading;
    const char* ascii;
    const char* real;
  };
  const Row rows[] = {
      {{0, 0, 0}, "C", "C"},
      {{10, 1, 10}, "Bbm", "B♭m"},
      {{6, 2, 10}, "F#7/Bb", "F♯7/B♭"},
      {{11, 9, 11}, "Bm7b5", "Bm7♭5"},
      {{3, 20, 3}, "Eb7#5", "E♭7♯5"},
      {{8, 22, 0}, "Ab6/9/C", "A♭6/9/C"},
  };
  for (const auto& row : rows) {
    CHECK(to_text(row.reading) == row.ascii);
    CHECK(to_text(row.reading, Signs::real) == row.real);
  }
  CHECK(note_text(60) == "C4");
  CHECK(note_text(0) == "C-1");
  CHECK(note_text(127) == "G9");
  CHECK(note_text(63, Signs::real) == "E♭4");
}
