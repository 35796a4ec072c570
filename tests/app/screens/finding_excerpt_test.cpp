// tests/app/screens/finding_excerpt_test.cpp
#include "app/screens/finding_excerpt.h"

#include <string>
#include <string_view>

#include "tests/app/screens/session_support.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::screens;

namespace {

constexpr std::int64_t ms = 1'000'000;

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

void add_bytes(FilledSession& session, std::int64_t t_ns, std::initializer_list<int> bytes,
               std::uint64_t src = 0) {
  for (const int byte : bytes) {
    session.history->bytes.append({t_ns, src << 8U | static_cast<std::uint64_t>(byte)});
    t_ns += 320'000;
  }
}

}  // namespace

TEST_CASE("an excerpt tells the finding and the bytes around it, each run on its line") {
  auto session = silent_session();
  session.now->source_name.set("H-02\nline");
  add_bytes(session, 900 * ms, {0x90, 0x2B, 0x50});
  add_bytes(session, 1'000 * ms, {0x99}, 1);
  add_bytes(session, 1'000 * ms - 960'000, {0xF0, 0x7D, 0xF7});
  add_bytes(session, 1'000 * ms, {0x3B, 0x50});
  add_bytes(session, 1'002 * ms, {0x90});
  add_bytes(session, 1'501 * ms, {0xAA});
  diagnosis::Finding finding;
  finding.rule = diagnosis::Rule::wire_stray_data;
  finding.t_ns = 1'000 * ms;
  finding.count = 2;
  const auto text = finding_excerpt(session.snapshot(), finding);
  CHECK(has(text, "wire.stray-data (error) at 00:01.000\n"));
  CHECK(has(text, "2 data bytes came while no status was in force."));
  CHECK(has(text, "Source: H-02 line\n"));
  CHECK(has(text, "Likely cause: running status was used after a SysEx"));
  CHECK(has(text, "Do this: Send the status byte anew"));
  CHECK(has(text,
            "   -100.000 ms  90 2B 50\n     -0.960 ms  F0 7D F7\n>    +0.000 ms  3B 50\n"
            "     +2.000 ms  90\n"));
  CHECK(!has(text, "AA"));
  CHECK(!has(text, "99"));
}

TEST_CASE("an excerpt of a swapped release shows where the other note started too") {
  auto session = silent_session();
  add_bytes(session, 700 * ms, {0x90, 0x48, 0x50});
  diagnosis::Finding finding;
  finding.rule = diagnosis::Rule::note_swapped_off;
  finding.note = 74;
  finding.t_ns = 5'000 * ms;
  finding.other = notes::NoteKey{midi::Channel{0}, 72};
  finding.other_ns = 700 * ms;
  const auto text = finding_excerpt(session.snapshot(), finding);
  CHECK(has(text, "Bytes around 00:05.000:\n  (no longer held)\n"));
  CHECK(has(text,
            "Bytes around 00:00.700, where the other note started:\n"
            ">    +0.000 ms  90 48 50\n"));
}
