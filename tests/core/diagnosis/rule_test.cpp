// tests/core/diagnosis/rule_test.cpp
#include "core/diagnosis/rule.h"

#include <algorithm>
#include <cctype>
#include <cstring>
#include <set>
#include <string>

#include <doctest/doctest.h>

using namespace strumwright::diagnosis;

TEST_CASE("the catalogue has each rule of the contract with its severity, in its order") {
  struct Row {
    const char* name;
    const char* severity;
  };
  const Row rows[] = {
      {"wire.silent", "info"},
      {"wire.joined", "info"},
      {"wire.backlog", "info"},
      {"wire.stray-data", "error"},
      {"wire.cut-short", "error"},
      {"wire.undefined-status", "error"},
      {"wire.sysex-open", "error"},
      {"wire.sysex-empty", "warning"},
      {"wire.eox-alone", "warning"},
      {"wire.suspect-status", "info"},
      {"wire.text", "warning"},
      {"wire.wrong-rate", "error"},
      {"wire.status-age", "info"},
      {"wire.overflow", "error"},
      {"wire.framing", "error"},
      {"wire.break", "error"},
      {"wire.glitch", "warning"},
      {"wire.clock", "error"},
      {"wire.clock-unsure", "warning"},
      {"wire.jitter", "warning"},
      {"wire.load", "warning"},
      {"note.stuck", "error"},
      {"note.off-unmatched", "warning"},
      {"note.on-twice", "warning"},
      {"note.shared", "info"},
      {"note.swapped-off", "error"},
      {"note.channel-crossed", "error"},
      {"note.burst-short", "error"},
      {"note.flash", "warning"},
      {"note.all-off-only", "warning"},
      {"strum.doubled", "warning"},
      {"strum.skipped", "warning"},
      {"strum.neighbour", "warning"},
      {"strum.wire-limited", "info"},
      {"strum.scan", "info"},
      {"timing.batched", "info"},
      {"timing.sense-lost", "error"},
      {"timing.stall", "warning"},
      {"port.gone", "info"},
      {"port.back", "info"},
      {"chord.wrong-note", "error"},
      {"chord.passing", "warning"},
      {"chord.unknown", "info"},
      {"touch.all-at-once", "warning"},
      {"control.off-range", "error"},
      {"control.unexpected", "warning"},
      {"control.flood", "warning"},
      {"control.repeated", "info"},
  };
  REQUIRE(catalogue().size() == std::size(rows));
  for (std::size_t index = 0; index < std::size(rows); ++index) {
    const auto& text = catalogue()[index];
    INFO(rows[index].name);
    CHECK(std::string{text.name} == rows[index].name);
    CHECK(std::string{to_text(text.severity)} == rows[index].severity);
    CHECK(static_cast<std::size_t>(text.rule) == index);
    CHECK(&text_of(text.rule) == &text);
    CHECK(find_rule(rows[index].name) == &text);
  }
}

TEST_CASE("no rule is found by a name that none has") {
  CHECK(find_rule("") == nullptr);
  CHECK(find_rule("note") == nullptr);
  CHECK(find_rule("note.stuck ") == nullptr);
  CHECK(find_rule("Note.Stuck") == nullptr);
}

TEST_CASE("each row says what it means, why it happens and what to do, in whole sentences") {
  std::set<std::string> meanings;
  for (const auto& text : catalogue()) {
    INFO(text.name);
    CHECK(std::strlen(text.title) >= 10);
    CHECK(std::strlen(text.title) <= 45);
    for (const char* sentence : {text.meaning, text.next}) {
      REQUIRE(std::strlen(sentence) > 30);
      CHECK(std::isupper(static_cast<unsigned char>(sentence[0])) != 0);
      CHECK(sentence[std::strlen(sentence) - 1] == '.');
    }
    CHECK_FALSE(text.causes.empty());
    for (const char* cause : text.causes) CHECK(std::strlen(cause) > 10);
    meanings.insert(text.meaning);
  }
  CHECK(meanings.size() == rule_count);
}

TEST_CASE("what a rule needs is what its words speak of") {
  CHECK(text_of(Rule::note_stuck).needs == Needs::nothing);
  CHECK(text_of(Rule::note_flash).needs == Needs::times);
  CHECK(text_of(Rule::wire_stray_data).needs == Needs::raw_source);
  CHECK(text_of(Rule::wire_clock).needs == Needs::line_recording);
  CHECK(text_of(Rule::chord_wrong_note).needs == Needs::instrument);
  const auto needing = [](Needs needs) {
    return std::count_if(catalogue().begin(), catalogue().end(),
                         [needs](const RuleText& text) { return text.needs == needs; });
  };
  // The byte rules but silent, backlog, overflow, load and the six of a line recording.
  CHECK(needing(Needs::raw_source) == 21 - 4 - 6);
  CHECK(needing(Needs::line_recording) == 6);
}
