// tests/core/pipeline/pipeline_state_test.cpp
#include <cstdint>
#include <vector>

#include <doctest/doctest.h>

#include "core/pipeline/pipeline.h"

using namespace strumwright;

namespace {

struct NoteCount : pipeline::Sink {
  void note(std::uint16_t, const notes::NoteFact&) override { ++notes; }
  int notes = 0;
};

session::Entry chunk(std::int64_t t_ns, const std::vector<std::uint8_t>& bytes) {
  session::Entry entry;
  entry.t_ns = t_ns;
  entry.bytes = bytes;
  return entry;
}

session::SourceInfo raw_source() {
  session::SourceInfo info;
  info.raw = true;
  info.timing = wire::Grade::byte;
  return info;
}

}  // namespace

TEST_CASE("a note shows in the state before the times of its last bytes are certain") {
  NoteCount sink;
  pipeline::Pipeline pipeline({raw_source()}, {}, sink);
  const std::vector<std::uint8_t> start{0x90, 60, 80};
  pipeline.push(chunk(1'000, start));
  CHECK(sink.notes == 0);
  const auto shown = pipeline.state(0);
  REQUIRE(shown.held.size() == 1);
  CHECK(shown.held[0].since_ns == 1'000);
  CHECK(shown.current_stroke.has_value());
  CHECK(shown.counts.messages == 1);
}

TEST_CASE("looking at the state changes nothing that comes later") {
  NoteCount sink;
  pipeline::Pipeline pipeline({raw_source()}, {}, sink);
  const std::vector<std::uint8_t> start{0x90, 60, 80};
  const std::vector<std::uint8_t> release{0x90, 60, 0};
  pipeline.push(chunk(0, start));
  CHECK(pipeline.state(0).held.size() == 1);
  CHECK(pipeline.state(0).held.size() == 1);
  pipeline.push(chunk(100, release));
  CHECK(pipeline.state(0).held.empty());
  pipeline.finish();
  CHECK(sink.notes == 2);
  CHECK(pipeline.state(0).counts.messages == 2);
}
