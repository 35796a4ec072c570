// tests/core/harmony/chord_kind_test.cpp
#include "core/harmony/chord_kind.h"

#include <bit>
#include <set>
#include <string>

#include <doctest/doctest.h>

using namespace strumwright::harmony;

TEST_CASE("kinds differ from each other in every column") {
  std::set<std::string> qualities;
  std::set<std::string> suffixes;
  std::set<std::string> words;
  std::set<int> tones;
  for (const auto& kind : chord_kinds()) {
    INFO(std::string(kind.quality));
    CHECK(qualities.insert(kind.quality).second);
    CHECK(suffixes.insert(kind.suffix).second);
    CHECK(words.insert(kind.words).second);
    CHECK(tones.insert(kind.tones).second);
  }
  CHECK(chord_kinds().size() == 36);
}

TEST_CASE("every kind contains its root, and only the power chord has fewer than three tones") {
  for (const auto& kind : chord_kinds()) {
    INFO(std::string(kind.quality));
    CHECK((kind.tones & 1U) != 0);
    CHECK(kind.tones < 4096);
    CHECK((std::popcount(kind.tones) >= 3) == (std::string(kind.quality) != "power"));
  }
}
