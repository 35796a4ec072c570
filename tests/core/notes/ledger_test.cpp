// tests/core/notes/ledger_test.cpp
#include "core/notes/ledger.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::notes;
using What = NoteFact::What;

namespace {

/// A ledger that keeps its facts; message k of a test begins at k + 1 ns and byte 3 k.
struct Played {
  Ledger ledger;
  std::vector<NoteFact> facts;

  void play(std::uint8_t status, std::uint8_t data1, std::uint8_t data2) {
    const auto index = static_cast<std::uint64_t>(messages_++);
    ledger.push(midi::make_event(messages_, status, data1, data2, false, 3 * index), facts);
  }
  /// "60" or "1/60" for another channel index; blank between.
  static std::string text(const std::vector<HeldNote>& notes) {
    std::string text;
    for (const auto& note : notes) {
      if (!text.empty()) text += ' ';
      if (note.key.channel.index != 0) text += std::to_string(note.key.channel.index) + '/';
      text += std::to_string(note.key.number);
    }
    return text;
  }
  [[nodiscard]] std::string held() const { return text(ledger.held()); }
  [[nodiscard]] std::string pedal() const { return text(ledger.pedal()); }

 private:
  std::int64_t messages_ = 0;
};

}  // namespace

TEST_CASE("a note is down from its start to its first release") {
  Played played;
  played.play(0x90, 60, 100);
  played.play(0x90, 64, 1);
  CHECK(played.held() == "60 64");
  CHECK(played.ledger.is_down({{0}, 60}));
  CHECK_FALSE(played.ledger.is_down({{1}, 60}));
  played.play(0x80, 60, 40);
  played.play(0x90, 64, 0);
  CHECK(played.held().empty());
  REQUIRE(played.facts.size() == 4);
  CHECK(played.facts[0].what == What::start);
  CHECK(played.facts[0].velocity == 100);
  CHECK_FALSE(played.facts[0].again);
  CHECK(played.facts[2].what == What::end);
  CHECK(played.facts[2].how == Ending::note_off);
  CHECK(played.facts[2].velocity == 40);
  CHECK(played.facts[2].t_ns == 3);
  CHECK(played.facts[2].start_ns == 1);
  CHECK(played.facts[2].byte == 6);
  CHECK(played.facts[3].how == Ending::velocity_zero);
  CHECK(played.ledger.starts() == 2);
  CHECK(played.ledger.releases() == 2);
  CHECK(played.ledger.zero_velocity_releases() == 1);
}

TEST_CASE(
    "one release ends a note that was started twice, and its age is that of the newest start") {
  Played played;
  played.play(0x90, 60, 90);
  played.play(0x90, 60, 80);
  CHECK(played.facts[1].again);
  REQUIRE(played.ledger.held().size() == 1);
  CHECK(played.ledger.held()[0].since_ns == 2);
  CHECK(played.ledger.held()[0].velocity == 80);
  played.play(0x90, 60, 0);
  CHECK(played.held().empty());
  CHECK(played.facts[2].start_ns == 2);
  played.play(0x90, 60, 0);
  CHECK(played.facts[3].what == What::orphan);
  CHECK(played.ledger.releases() == 2);
}

TEST_CASE("a release of a note that is not down is an orphan and changes nothing") {
  Played played;
  played.play(0x90, 60, 90);
  played.play(0x81, 60, 7);
  CHECK(played.facts[1].what == What::orphan);
  CHECK(played.facts[1].key == NoteKey{{1}, 60});
  CHECK(played.facts[1].velocity == 7);
  CHECK(played.held() == "60");
}

TEST_CASE("channel mode messages end all notes of their channel, other controllers none") {
  struct Row {
    std::uint8_t controller;
    bool ends;
  };
  // MIDI 1.0 Detailed Specification 4.2, table IV.
  for (const Row row :
       {Row{119, false}, Row{120, true}, Row{121, false}, Row{122, false}, Row{123, true},
        Row{124, true}, Row{125, true}, Row{126, true}, Row{127, true}}) {
    INFO(int{row.controller});
    Played played;
    played.play(0x90, 60, 90);
    played.play(0x90, 40, 90);
    played.play(0x91, 60, 90);
    played.play(0xB0, row.controller, 0);
    CHECK(played.held() == (row.ends ? "1/60" : "40 60 1/60"));
    REQUIRE(played.facts.size() == (row.ends ? 6 : 3));
    if (!row.ends) continue;
    CHECK(played.facts[3].what == What::mode_message);
    CHECK(played.facts[3].key == NoteKey{{0}, row.controller});
    CHECK(played.facts[4].what == What::end);
    CHECK(played.facts[4].how == Ending::mode_message);
    CHECK(played.facts[4].key == NoteKey{{0}, 40});
    CHECK(played.facts[4].start_ns == 2);
    CHECK(played.facts[5].key == NoteKey{{0}, 60});
    CHECK(played.ledger.releases() == 0);
  }
}

TEST_CASE("the pedal keeps a released note until it is lifted or the note starts again") {
  struct Row {
    const char* name;
    std::vector<std::array<std::uint8_t, 3>> then;
    const char* held;
    const char* pedal;
  };
  const Row rows[] = {
      {"kept", {}, "64", "60"},
      {"63 lifts", {{0xB0, 64, 63}}, "64", ""},
      {"64 does not", {{0xB0, 64, 64}}, "64", "60"},
      {"another channel's pedal does not", {{0xB1, 64, 0}}, "64", "60"},
      {"CC 121 lifts", {{0xB0, 121, 0}}, "64", ""},
      {"after the lift a release is plain", {{0xB0, 121, 0}, {0x80, 64, 0}}, "", ""},
      {"a start takes the note back", {{0x90, 60, 5}}, "60 64", ""},
      {"the next release too", {{0x80, 64, 0}}, "", "60 64"},
      {"a mode message ends it", {{0xB0, 123, 0}}, "", ""},
      {"and leaves the pedal down", {{0xB0, 123, 0}, {0x90, 70, 9}, {0x80, 70, 0}}, "", "70"},
      {"its second release is an orphan", {{0x80, 60, 0}}, "64", "60"},
  };
  for (const auto& row : rows) {
    INFO(row.name);
    Played played;
    played.play(0xB0, 64, 64);
    played.play(0x90, 60, 90);
    played.play(0x90, 64, 90);
    played.play(0x90, 60, 0);
    CHECK(played.facts.back().to_pedal);
    for (const auto& message : row.then) played.play(message[0], message[1], message[2]);
    CHECK(played.held() == row.held);
    CHECK(played.pedal() == row.pedal);
  }
  Played played;
  played.play(0xB0, 64, 63);
  played.play(0x90, 60, 90);
  played.play(0x90, 60, 0);
  CHECK_FALSE(played.facts.back().to_pedal);
  CHECK(played.pedal().empty());
}

TEST_CASE("sensing loss, reset and a port that went end all notes and lift the pedals") {
  for (const Ending how : {Ending::sense_lost, Ending::reset, Ending::gone}) {
    Played played;
    played.play(0xB2, 64, 127);
    played.play(0x92, 50, 90);
    played.play(0x82, 50, 90);
    played.play(0x92, 51, 90);
    played.play(0x90, 60, 90);
    played.facts.clear();
    played.ledger.end_all(77, how, played.facts);
    CHECK(played.held().empty());
    CHECK(played.pedal().empty());
    REQUIRE(played.facts.size() == 2);
    CHECK(played.facts[0].key == NoteKey{{0}, 60});
    CHECK(played.facts[1].key == NoteKey{{2}, 51});
    for (const auto& fact : played.facts) {
      CHECK(fact.what == What::end);
      CHECK(fact.how == how);
      CHECK(fact.t_ns == 77);
    }
    CHECK(played.facts[1].start_ns == 4);
    played.play(0x92, 50, 90);
    played.play(0x82, 50, 90);
    CHECK_FALSE(played.facts.back().to_pedal);
  }
}

TEST_CASE("pitches that are down leave out channel 10 and outlive one of two owners") {
  Played played;
  played.play(0x99, 36, 90);
  CHECK(played.ledger.down_pitches().empty());
  played.play(0x90, 127, 90);
  played.play(0x91, 127, 90);
  played.play(0x90, 127, 90);
  CHECK(played.ledger.down_pitches().has(127));
  played.play(0x90, 127, 0);
  CHECK(played.ledger.down_pitches().has(127));
  played.play(0xB1, 120, 0);
  CHECK(played.ledger.down_pitches().empty());
}

TEST_CASE("messages that are neither notes nor controllers change nothing") {
  Played played;
  played.play(0x90, 60, 90);
  played.facts.clear();
  for (const std::uint8_t status : {0xA0, 0xC0, 0xD0, 0xE0, 0xF2, 0xF8, 0xFF}) {
    played.play(status, 123, 0);
  }
  CHECK(played.facts.empty());
  CHECK(played.held() == "60");
}
