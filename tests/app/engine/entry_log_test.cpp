// tests/app/engine/entry_log_test.cpp
#include "app/engine/entry_log.h"

#include <cstdint>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::engine;

TEST_CASE("entries come out as they went in, each with its place") {
  const std::vector<std::uint8_t> bytes{0x90, 0x3C, 0x50};
  EntryLog log;
  session::Entry chunk;
  chunk.t_ns = 7;
  chunk.src = 3;
  chunk.out = true;
  chunk.bytes = bytes;
  session::Entry mark;
  mark.kind = session::Entry::Kind::mark;
  mark.t_ns = 8;
  mark.text = "here";
  session::Entry settings;
  settings.kind = session::Entry::Kind::settings;
  settings.settings.strum_gap_ms = 90.0;
  settings.lost = -1;
  EntryLog other;
  log.append(chunk);
  const auto mark_place = log.size_bytes();
  other.append(mark);
  other.append(settings);
  log.take(other);
  CHECK(other.empty());

  std::vector<std::size_t> places;
  int count = 0;
  log.for_each([&](const session::Entry& entry, std::size_t place) {
    places.push_back(place);
    if (count == 0) {
      CHECK(entry.kind == session::Entry::Kind::chunk);
      CHECK(entry.t_ns == 7);
      CHECK(entry.src == 3);
      CHECK(entry.out);
      CHECK(std::vector<std::uint8_t>(entry.bytes.begin(), entry.bytes.end()) == bytes);
    } else if (count == 1) {
      CHECK(entry.kind == session::Entry::Kind::mark);
      CHECK(entry.text == "here");
    } else {
      CHECK(entry.settings.strum_gap_ms == 90.0);
      CHECK(entry.lost == -1);
    }
    ++count;
  });
  CHECK(count == 3);
  REQUIRE(places.size() == 3);
  CHECK(places[0] == 0);
  CHECK(places[1] == mark_place);
}
