// tests/core/simulation/song_test.cpp
#include "core/simulation/song.h"

#include <set>

#include <doctest/doctest.h>

using namespace strumwright::simulation;

TEST_CASE("a chord lasts two strokes, and in time every root and kind is played") {
  Song song(1);
  std::set<int> roots;
  std::set<int> thumbs;
  for (int k = 0; k < 1000; ++k) {
    const auto first = song.next();
    CHECK((song.next() == first));
    roots.insert(first.root);
    thumbs.insert(first.thumbs);
  }
  CHECK(roots.size() == 12);
  CHECK(thumbs.size() == 8);
}

TEST_CASE("a session begins with C, and seeds part after the first turn") {
  Song a(1);
  Song b(2);
  CHECK((a.next() == HeronChord{0, 0}));
  CHECK((b.next() == HeronChord{0, 0}));
  int different = 0;
  for (int k = 0; k < 200; ++k) different += !(a.next() == b.next());
  CHECK(different > 20);
}
