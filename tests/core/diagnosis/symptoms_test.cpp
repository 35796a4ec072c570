// tests/core/diagnosis/symptoms_test.cpp
#include "core/diagnosis/symptoms.h"

#include <algorithm>
#include <cstring>
#include <set>
#include <string>

#include <doctest/doctest.h>

using namespace strumwright::diagnosis;

TEST_CASE("each symptom is answered by rules of the catalogue or by a sentence why it is not") {
  std::set<std::string> complaints;
  for (const auto& symptom : symptoms()) {
    INFO(symptom.complaint);
    CHECK(std::strlen(symptom.complaint) > 15);
    CHECK(complaints.insert(symptom.complaint).second);
    if (symptom.rules.empty()) REQUIRE(symptom.limit != nullptr);
    if (symptom.limit != nullptr) CHECK(std::string(symptom.limit).back() == '.');
    std::set<Rule> rules;
    for (const Rule rule : symptom.rules) {
      CHECK(find_rule(text_of(rule).name) == &text_of(rule));
      CHECK(rules.insert(rule).second);
    }
  }
  // The failures collected from builders' reports: ten of notes, eight of bytes, seven of the line,
  // thirteen of touch, buttons and the port.
  CHECK(symptoms().size() == 10 + 8 + 7 + 13);
}

TEST_CASE("the complaint a rule was made for leads to it") {
  struct Row {
    const char* words;
    Rule rule;
  };
  const Row rows[] = {
      {"hangs when the chord changes", Rule::note_swapped_off},
      {"released on another", Rule::note_channel_crossed},
      {"ring on after a quick change", Rule::note_burst_short},
      {"Panic does not silence", Rule::note_all_off_only},
      {"Digits or line ends", Rule::wire_text},
      {"brings its neighbour", Rule::strum_neighbour},
      {"Playing stumbles", Rule::timing_stall},
  };
  for (const auto& row : rows) {
    INFO(row.words);
    const auto found = std::find_if(symptoms().begin(), symptoms().end(), [&row](const auto& s) {
      return std::strstr(s.complaint, row.words) != nullptr;
    });
    REQUIRE(found != symptoms().end());
    CHECK(found->rules.front() == row.rule);
  }
}

TEST_CASE("no error of notes is without a complaint that leads to it") {
  for (const auto& rule : catalogue()) {
    if (rule.severity != Severity::error || !std::string_view(rule.name).starts_with("note.")) {
      continue;
    }
    INFO(rule.name);
    CHECK(std::any_of(symptoms().begin(), symptoms().end(), [&rule](const auto& symptom) {
      return std::count(symptom.rules.begin(), symptom.rules.end(), rule.rule) > 0;
    }));
  }
}
