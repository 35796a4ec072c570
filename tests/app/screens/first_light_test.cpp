// tests/app/screens/first_light_test.cpp
#include "app/screens/first_light.h"

#include <string>

#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

/// One letter a lamp: l lit, w wrong, - waiting.
std::string states(const FilledSession& session) {
  std::string all;
  for (const auto& lamp : lamps_of(session.snapshot())) {
    all += lamp.state == LampState::lit ? 'l' : lamp.state == LampState::wrong ? 'w' : '-';
  }
  return all;
}

std::string heading(const FilledSession& session) {
  return explain_first_dark(session.snapshot(), lamps_of(session.snapshot())).heading;
}

const char* title(diagnosis::Rule rule) { return diagnosis::text_of(rule).title; }

}  // namespace

TEST_CASE("the lamps light one after the other, and the first dark one is explained") {
  auto session = silent_session();
  auto& now = *session.now;
  now.link = engine::Link::none;
  CHECK(states(session) == "-----");
  CHECK(heading(session) == "No source is open");
  now.link = engine::Link::gone;
  CHECK(states(session) == "w----");
  CHECK(heading(session) == title(diagnosis::Rule::port_gone));
  now.link = engine::Link::linked;
  CHECK(states(session) == "l----");
  CHECK(heading(session) == title(diagnosis::Rule::wire_silent));
  now.bytes = 7;
  CHECK(states(session) == "lll--");
  CHECK(heading(session) == "The first bytes are here");
  now.bytes = 8;
  CHECK(states(session) == "lllw-");
  CHECK(heading(session) == title(diagnosis::Rule::wire_stray_data));
  now.text_bytes = 8;
  CHECK(states(session) == "lllw-");
  CHECK(heading(session) == title(diagnosis::Rule::wire_text));
  now.messages = 1;
  CHECK(states(session) == "llll-");
  CHECK(heading(session) == "Messages arrive, but no note has started");
  now.note_starts = 1;
  CHECK(states(session) == "lllll");
}

TEST_CASE("a rate is implausible by its finding, or beyond what a raw line carries") {
  auto session = silent_session();
  auto& now = *session.now;
  now.bytes = 100;
  now.load_peak = 1.5;
  CHECK(states(session) == "lllw-");
  now.load_peak = 1.51;
  CHECK(states(session) == "llww-");
  CHECK(heading(session) == title(diagnosis::Rule::wire_wrong_rate));
  now.raw = false;
  CHECK(states(session) == "lllw-");
  now.findings[0].rule = diagnosis::Rule::wire_wrong_rate;
  now.finding_count = 1;
  CHECK(states(session) == "llww-");
}

TEST_CASE("at a silent MIDI port the other program comes before pins and cables") {
  auto session = silent_session();
  auto& now = *session.now;
  now.link = engine::Link::linked;
  const auto first_cause = [&] {
    return explain_first_dark(session.snapshot(), lamps_of(session.snapshot())).causes.at(0);
  };
  now.raw = false;
  CHECK(first_cause().find("other program") != std::string::npos);
  now.raw = true;
  CHECK(first_cause() == diagnosis::text_of(diagnosis::Rule::wire_silent).causes[0]);
}
