// tests/app/screens/wire_figures_test.cpp
#include "app/screens/wire_figures.h"

#include <string>

#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

std::string told(const std::vector<WireFigure>& figures) {
  std::string text;
  for (const auto& figure : figures) {
    text += std::string(figure.name) + "|" + figure.number + "|" + figure.rest +
            (figure.fault ? "|!" : "") + "\n";
  }
  return text;
}

FilledSession counted_session() {
  auto session = silent_session();
  auto& now = *session.now;
  now.bytes = 1'482;
  now.messages = 740;
  now.running_used = 402;
  now.running_possible = 466;
  now.stray_bytes = 2;
  now.first_byte_ns = 0;
  now.last_byte_ns = 84'600'000'000;
  return session;
}

}  // namespace

TEST_CASE("figures of a raw source: running status with what it saved, faults marked") {
  const auto session = counted_session();
  CHECK(told(wire_figures(session.snapshot(), 1)) ==
        "bytes|1,482|in 1 min\nmessages|740|complete\n"
        "running status used|402|of 466 possible\nbytes saved|402|129 ms of line\n"
        "stray bytes|2|in 1 place|!\nundefined|0|status bytes\nlost|0|on this computer\n");
}

TEST_CASE("a source of whole messages says what it cannot show, one without times gives none") {
  auto session = counted_session();
  session.now->raw = false;
  session.now->grade = wire::Grade::none;
  const auto text = told(wire_figures(session.snapshot(), 0));
  CHECK(text.find("bytes|1,482|without times\n") == 0);
  CHECK(text.find("running status|–|not to be seen here\nit could save|466|bytes\n") !=
        std::string::npos);
  CHECK(text.find("saved") == std::string::npos);
}
