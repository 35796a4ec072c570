// tests/app/screens/state_document_test.cpp
#include "app/screens/state_document.h"

#include <string>
#include <string_view>

#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("the state says what is on screen: area, chord, held notes, strums, findings, targets") {
  auto session = busy_session();
  session.now->simulated = true;
  ViewState view;
  view.book.read(*session.history, *session.now, view.picked);
  Drawn drawn;
  drawn.targets.push_back({"keep", {916.0F, 22.0F, 70.0F, 28.0F}});
  const auto text = state_document(session.snapshot(), view, drawn, {1.5F, 0});
  CHECK(has(text, "\"area\":\"hear\""));
  CHECK(has(text, "\"chord\":\"" + harmony::to_text(session.now->chord.best, harmony::Signs::real) +
                      "\""));
  CHECK(has(text, "\"held\":[{\"channel\":1,\"note\":96,\"since_ns\":75800000000}"));
  CHECK(has(text, "\"rule\":\"note.swapped-off\",\"severity\":\"error\""));
  CHECK(has(text,
            "\"name\":\"SIMULATED H-02, serial line\",\"grade\":\"byte\",\"simulated\":true,"
            "\"recording\":false"));
  CHECK(has(text, "\"targets\":[{\"id\":\"keep\",\"x\":1374,\"y\":33,\"w\":105,\"h\":42}]"));
  CHECK(has(text, "\"comb\":{"));
  CHECK(text.back() == '\n');
}

TEST_CASE("the state lists at most the newest 32 strums") {
  FilledSession session;
  for (int i = 0; i < 40; ++i) session.add_strum(40, 5, 4'000'000, true, false);
  const auto text = state_document(session.snapshot(), {}, {}, {1.0F, 0});
  CHECK(!has(text, "{\"serial\":8,"));
  CHECK(has(text, "{\"serial\":9,"));
  CHECK(has(text, "{\"serial\":40,"));
}

TEST_CASE("an unnamed chord is null, and pictures of other areas are not told") {
  auto session = silent_session();
  ViewState view;
  view.area = Area::logbook;
  const auto text = state_document(session.snapshot(), view, {}, {1.0F, 0});
  CHECK(has(text, "\"chord\":null"));
  CHECK(!has(text, "\"comb\""));
}
