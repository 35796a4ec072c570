// tests/core/simulation/hand_test.cpp
#include "core/simulation/hand.h"

#include <algorithm>
#include <set>

#include <doctest/doctest.h>

using namespace strumwright::simulation;

namespace {

std::set<int> tones(HeronChord chord, int first, int last) {
  std::set<int> found;
  for (int string = first; string <= last; ++string) {
    found.insert(Heron::note_of(chord, static_cast<std::uint8_t>(string)) % 12);
  }
  return found;
}

}  // namespace

TEST_CASE("a stroke runs over neighbours of one rank and sounds every tone of its chord") {
  Hand hand(1);
  std::set<int> roots;
  std::set<int> thumbs;
  int upper = 0;
  int down = 0;
  for (int k = 0; k < 2000; ++k) {
    const auto stroke = hand.next({});
    roots.insert(stroke.chord.root);
    thumbs.insert(stroke.chord.thumbs);
    down += !stroke.up;
    REQUIRE(stroke.gaps_ns.size() + 1 == stroke.strings.size());
    for (std::size_t i = 1; i < stroke.strings.size(); ++i) {
      REQUIRE(stroke.strings[i] - stroke.strings[i - 1] == (stroke.up ? 1 : -1));
      // Wider than the wire needs and far narrower than what parts strokes.
      REQUIRE(stroke.gaps_ns[i - 1] > 5'000'000);
      REQUIRE(stroke.gaps_ns[i - 1] < 40'000'000);
    }
    const auto [low, high] = std::minmax_element(stroke.strings.begin(), stroke.strings.end());
    const bool in_upper = *low > Heron::lower_rank;
    upper += in_upper;
    REQUIRE((in_upper || *high <= Heron::lower_rank));
    const auto all = in_upper ? tones(stroke.chord, Heron::lower_rank + 1, Heron::strings)
                              : tones(stroke.chord, 1, Heron::lower_rank);
    REQUIRE(tones(stroke.chord, *low, *high) == all);
  }
  CHECK(roots.size() == 12);
  CHECK(thumbs.size() == 8);
  CHECK(upper > 300);
  CHECK(down > 600);
}

TEST_CASE("a stroke keeps to its limits") {
  Hand hand(2);
  for (int k = 0; k < 2000; ++k) {
    StrokeLimits limits;
    limits.lower_rank_only = k % 2 == 0;
    limits.avoid_note = static_cast<std::uint8_t>(36 + k % 60);
    const auto stroke = hand.next(limits);
    REQUIRE(stroke.strings.size() >= 5);
    for (const auto string : stroke.strings) {
      REQUIRE(Heron::note_of(stroke.chord, string) != limits.avoid_note);
      if (limits.lower_rank_only) REQUIRE(string <= Heron::lower_rank);
    }
  }
  for (std::uint8_t count = 6; count <= Heron::lower_rank; ++count) {
    StrokeLimits limits;
    limits.exact_strings = count;
    CHECK(hand.next(limits).strings.size() == count);
  }
}

TEST_CASE("a stroke back is the same strings the other way") {
  Hand hand(3);
  const auto stroke = hand.next({});
  auto back = hand.back(stroke);
  CHECK(back.up != stroke.up);
  std::reverse(back.strings.begin(), back.strings.end());
  CHECK(back.strings == stroke.strings);
  CHECK(back.chord == stroke.chord);
}
