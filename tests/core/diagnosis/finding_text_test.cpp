// tests/core/diagnosis/finding_text_test.cpp
#include "core/diagnosis/finding_text.h"

#include <algorithm>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::diagnosis;

namespace {

constexpr std::int64_t ms = 1'000'000;

Finding of(Rule rule) {
  Finding finding;
  finding.rule = rule;
  finding.severity = text_of(rule).severity;
  return finding;
}

Finding of_note(Rule rule, std::uint8_t note, std::int64_t amount) {
  Finding finding = of(rule);
  finding.channel = 1;
  finding.note = note;
  finding.amount = amount;
  return finding;
}

Finding swapped() {
  Finding finding = of_note(Rule::note_swapped_off, 64, 0);
  finding.t_ns = 1250 * ms;
  finding.other = notes::NoteKey{{0}, 63};
  finding.other_ns = 1000 * ms;
  finding.chord_before = harmony::Reading{8, 0, 8};
  finding.chord_after = harmony::Reading{4, 1, 4};
  return finding;
}

}  // namespace

TEST_CASE("a finding's id names rule, source, time, byte, channel and note") {
  Finding finding = of_note(Rule::note_stuck, 64, 0);
  finding.t_ns = 82'920'000'000;
  finding.byte = 17;
  CHECK(id_of(finding) == "note.stuck:0:82920000000:17:1:64");
  finding = of(Rule::port_gone);
  finding.src = 2;
  CHECK(id_of(finding) == "port.gone:2:0:-:-:-");
}

TEST_CASE("sentences carry the evidence of their rule") {
  struct Row {
    Finding finding;
    const char* text;
  };
  std::vector<Row> rows;
  const auto row = [&rows](Finding finding, const char* text) { rows.push_back({finding, text}); };

  Finding finding = of(Rule::wire_stray_data);
  finding.count = 2;
  row(finding, "2 data bytes came while no status was in force.");
  finding = of(Rule::wire_cut_short);
  finding.amount = 0x191;
  finding.channel = 2;
  row(finding, "Ch 2: A note on (91) was broken off after 1 of 2 data bytes.");
  finding.at_end = true;
  row(finding, "The input ended inside a message. Ch 2: A note on (91) had 1 of 2 data bytes.");
  finding = of(Rule::wire_undefined_status);
  finding.amount = 0xF4;
  row(finding, "F4 was sent, a status that MIDI does not define.");
  row(of_note(Rule::wire_suspect_status, 64, 0),
      "Ch 1: Controller 64 = 0 reads like E4 of the stroke, sent without its note status.");
  finding = of(Rule::wire_load);
  finding.amount = 984;
  row(finding, "The line passed 90 % of what it can carry: 98.4 % of 100 ms.");
  row(of_note(Rule::note_on_twice, 60, 31 * ms),
      "Ch 1: C4 was started while down, 31.0 ms after its start before.");
  finding = of_note(Rule::note_stuck, 60, 31'000 * ms);
  row(finding, "Ch 1: C4 was started and is still down after 31.0 s, while others came and went.");
  finding.at_end = true;
  row(finding, "Ch 1: C4 was started and never released, 31.0 s to the end.");
  row(of_note(Rule::note_off_unmatched, 61, -1),
      "Ch 1: C#4 was released while not down; it had no release before.");
  row(of_note(Rule::note_off_unmatched, 61, 5 * ms),
      "Ch 1: C#4 was released while not down, 5.00 ms after its last release.");
  row(swapped(),
      "Ch 1: E4 was released while not down, and Eb4 still sounds, 250.0 ms old; the chord went "
      "from Ab to Em.");
  finding = of_note(Rule::note_channel_crossed, 60, 0);
  finding.other = notes::NoteKey{{1}, 60};
  row(finding,
      "Ch 1: C4 was released here, but it was started on channel 2 and still sounds there.");
  finding = of_note(Rule::note_burst_short, 64, 3);
  finding.listed.add(67);
  finding.listed.add(64);
  finding.count = 2;
  row(finding, "Ch 1: 2 releases of a stroke's 5 never came, the last of a burst: E4, G4.");
  row(of_note(Rule::note_flash, 60, 1'999'999), "Ch 1: C4 was down for 2.00 ms only.");
  finding.rule = Rule::note_all_off_only;
  finding.amount = 123;
  row(finding, "Ch 1: 2 notes ended by controller 123 alone: E4, G4.");
  row(of_note(Rule::strum_doubled, 60, 30 * ms), "Ch 1: C4 triggered twice, 30.0 ms apart.");
  finding = of(Rule::control_flood);
  finding.channel = 1;
  finding.count = 21;
  finding.amount = 0xB0 * 65536 + 7 * 256 + 90;
  row(finding, "Ch 1: A control change (B0 7 90) was sent 21 times within a second.");

  for (const auto& [subject, text] : rows) CHECK(text_of(subject) == text);
}

TEST_CASE("real signs are for screens, ASCII is the default") {
  CHECK(short_text_of(swapped()) == "E4 released, Eb4 hangs");
  CHECK(short_text_of(swapped(), Signs::real) == "E4 released, E♭4 hangs");
  CHECK(text_of(swapped(), Signs::real).find("from A♭ to Em") != std::string::npos);
}

TEST_CASE("each rule has a sentence and a short form, even without evidence") {
  for (const auto& rule : catalogue()) {
    INFO(rule.name);
    const Finding finding = of(rule.rule);
    const std::string text = text_of(finding);
    CHECK(text.size() > 20);
    CHECK(text.back() == '.');
    CHECK(std::all_of(text.begin(), text.end(), [](char c) { return c >= ' ' && c <= '~'; }));
    const std::string brief = short_text_of(finding);
    CHECK(brief.size() >= 10);
    CHECK(brief.size() <= 45);
  }
}

TEST_CASE("a long list is cut in the sentence and whole in what is related") {
  Finding finding = of(Rule::note_all_off_only);
  finding.channel = 10;
  for (std::uint8_t note = 36; note < 48; ++note) finding.listed.add(note);
  finding.count = 12;
  CHECK(text_of(finding).find("G2 and more.") != std::string::npos);
  REQUIRE(related_of(finding).size() == 12);
  CHECK(related_of(finding)[0] == "channel 10 note 36");
}

TEST_CASE("the other note of a finding is related") {
  CHECK(related_of(swapped()) == std::vector<std::string>{"channel 1 note 63"});
  Finding finding = of(Rule::chord_unknown);
  finding.listed.add(60);
  CHECK(related_of(finding) == std::vector<std::string>{"note 60"});
  CHECK(related_of(of(Rule::port_back)).empty());
}

TEST_CASE("only a doubt has words") {
  CHECK(doubt_text(Doubt::none) == nullptr);
  for (const Doubt doubt : {Doubt::peer_not_wire, Doubt::two_readings, Doubt::joined_late}) {
    REQUIRE(doubt_text(doubt) != nullptr);
    CHECK(std::string(doubt_text(doubt)).back() == '.');
  }
}

TEST_CASE("documents are ordered by time, source, rule name, channel and note") {
  const Finding base = of_note(Rule::note_stuck, 60, 0);
  std::vector<Finding> ordered;
  Finding finding = of(Rule::wire_text);
  finding.t_ns = -1;
  ordered.push_back(finding);                  // earlier, though its rule comes later
  ordered.push_back(of(Rule::chord_unknown));  // the name counts, not the catalogue's order
  ordered.push_back(of(Rule::note_stuck));     // no channel before channel 1
  ordered.push_back(base);
  finding = base;
  finding.note = 61;
  ordered.push_back(finding);
  finding = base;
  finding.channel = 2;
  finding.note = 0;
  ordered.push_back(finding);
  finding = of(Rule::chord_unknown);
  finding.src = 1;
  ordered.push_back(finding);
  for (std::size_t i = 0; i < ordered.size(); ++i) {
    for (std::size_t j = 0; j < ordered.size(); ++j) {
      CAPTURE(i);
      CAPTURE(j);
      CHECK(before(ordered[i], ordered[j]) == (i < j));
    }
  }
}
