// tests/core/session/input_reader_test.cpp
#include "core/session/input_reader.h"

#include <string>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::session;

TEST_CASE("the kind of an input follows from its ending, in any case of letters") {
  CHECK(kind_by_ending("a.jsonl") == InputKind::capture);
  CHECK(kind_by_ending("a.b/c.MID") == InputKind::smf);
  CHECK(kind_by_ending(".bin") == InputKind::bin);
  CHECK(kind_by_ending("a.Hex") == InputKind::hex);
  CHECK(kind_by_ending("a.txt") == InputKind::text);
  CHECK(kind_by_ending("a.vcd") == InputKind::vcd);
  CHECK(kind_by_ending("a.csv") == InputKind::csv);
  CHECK(kind_by_ending("a.wav") == InputKind::wav);
  for (const char* path : {"", "hex", "a.midi", "a.jsonl~", "a.txt/b", "-"}) {
    CHECK_FALSE(kind_by_ending(path));
  }
}

TEST_CASE("the kind of an input has the name that documents have") {
  for (const char* name : {"capture", "smf", "bin", "hex", "text", "vcd", "csv", "wav"}) {
    const auto kind = kind_by_name(name);
    REQUIRE(kind);
    CHECK(std::string(to_text(*kind)) == name);
  }
  CHECK_FALSE(kind_by_name("jsonl"));
  CHECK_FALSE(kind_by_name(""));
}

TEST_CASE("a kind that cannot be read yet says so") {
  const auto out = read_out(InputKind::smf, "MThd");
  CHECK(out.complaint() == "evening: Standard MIDI Files cannot be read yet");
  REQUIRE(out.error);
  CHECK_FALSE(out.error->remedy.empty());
  CHECK(read_out(InputKind::vcd, "").error);
  CHECK(read_out(InputKind::csv, "").error);
  CHECK(read_out(InputKind::wav, "").error);
}
