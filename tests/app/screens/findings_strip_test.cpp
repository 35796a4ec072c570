// tests/app/screens/findings_strip_test.cpp
#include "app/screens/findings_strip.h"

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>

#include "tests/app/screens/headless_support.h"
#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

/// A strip over time: what it shows at each second that is asked for.
class Strip {
 public:
  Drawn& at(double seconds) {
    return bench_.frame([&](Canvas& canvas) {
      const auto& now = *session.now;
      const auto groups =
          group_findings({now.findings.data(), now.finding_count}, now, std::nullopt);
      draw_findings_strip(canvas, {0, 760, 1280, 40}, session.snapshot(), groups, view_, seconds);
    });
  }
  [[nodiscard]] std::optional<diagnosis::Rule> shown() const {
    return view_.shown ? std::optional(view_.shown->rule) : std::nullopt;
  }
  void report(diagnosis::Rule rule) {
    auto& now = *session.now;
    std::move_backward(now.findings.begin(), now.findings.end() - 1, now.findings.end());
    now.findings[0] = {};
    now.findings[0].rule = rule;
    now.findings[0].severity = diagnosis::text_of(rule).severity;
    ++now.finding_count;
  }

  void mark(std::int64_t t_ns, double seconds) { view_.mark = {t_ns, seconds}; }

  FilledSession session = silent_session();

 private:
  Headless bench_{1280, 800, 1.0F};
  FindingsView view_;
};

bool says(const Drawn& drawn, std::string_view part) {
  return std::any_of(drawn.texts.begin(), drawn.texts.end(), [&](const PlacedText& placed) {
    return placed.text.find(part) != std::string::npos;
  });
}

}  // namespace

TEST_CASE("a line stays 3 s, even if something worse comes, and then goes by itself") {
  Strip strip;
  strip.report(diagnosis::Rule::strum_doubled);
  strip.at(10.0);
  CHECK(strip.shown() == diagnosis::Rule::strum_doubled);
  strip.report(diagnosis::Rule::note_off_unmatched);
  const auto& waiting = strip.at(12.9);
  CHECK(strip.shown() == diagnosis::Rule::strum_doubled);
  CHECK(waiting.again_in_s == doctest::Approx(0.1));
  strip.at(13.0);
  CHECK(strip.shown() == diagnosis::Rule::note_off_unmatched);
}

TEST_CASE("a fault that repeats is one line with a count") {
  Strip strip;
  for (int i = 0; i < 5; ++i) strip.report(diagnosis::Rule::strum_doubled);
  CHECK(says(strip.at(10.0), "5× "));
}

TEST_CASE("a new line fades in and then asks for no more frames") {
  Strip strip;
  strip.report(diagnosis::Rule::strum_doubled);
  CHECK(strip.at(10.0).moving);
  CHECK(strip.at(10.1).moving);
  CHECK(!strip.at(10.13).moving);
}

TEST_CASE("a sentence of the program stands 6 s, then the findings are back") {
  Strip strip;
  strip.report(diagnosis::Rule::strum_doubled);
  strip.at(10.0);
  strip.session.now->notice.set("Kept the last 15 minutes.");
  strip.session.now->notice_serial = 1;
  CHECK(says(strip.at(20.0), "Kept the last 15 minutes."));
  CHECK(says(strip.at(25.9), "Kept the last 15 minutes."));
  CHECK(!says(strip.at(26.1), "Kept the last 15 minutes."));
}

TEST_CASE("a mark is said for 3 s") {
  Strip strip;
  CHECK(!says(strip.at(9.0), "Marked"));
  strip.mark(12'300'000'000, 10.0);
  CHECK(says(strip.at(10.0), "Marked at 00:12.3"));
  CHECK(says(strip.at(12.9), "Marked at 00:12.3"));
  CHECK(!says(strip.at(13.1), "Marked"));
}

TEST_CASE("only counts above 0 are shown") {
  Strip strip;
  strip.session.now->warnings = 1;
  CHECK(says(strip.at(1.0), "1 warning"));
  CHECK(!says(strip.at(1.0), "error"));
  strip.session.now->errors = 2;
  CHECK(says(strip.at(1.0), "2 errors"));
}
