// tests/core/simulation/simulator_test.cpp
#include "core/simulation/simulator.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::simulation;
using strumwright::diagnosis::Rule;

namespace {

struct Byte {
  std::int64_t t_ns;
  std::uint8_t value;
  friend bool operator==(Byte, Byte) = default;
};

void append(const Simulator::Chunk& chunk, std::vector<Byte>& bytes) {
  std::int64_t t_ns = chunk.t_ns;
  for (const auto value : chunk.bytes) {
    bytes.push_back({t_ns, value});
    t_ns += 320'000;
  }
}

std::vector<Byte> play(Simulator& simulator) {
  std::vector<Byte> bytes;
  while (const auto chunk = simulator.next()) append(*chunk, bytes);
  return bytes;
}

struct Message {
  std::int64_t t_ns;
  unsigned status;
  unsigned data1;
  unsigned data2;
};

/// A plain decoder for streams of three-byte channel messages, with and without running status.
std::vector<Message> decode(const std::vector<Byte>& bytes) {
  std::vector<Message> messages;
  unsigned status = 0;
  for (std::size_t k = 0; k < bytes.size();) {
    const std::int64_t t_ns = bytes[k].t_ns;
    if (bytes[k].value >= 0x80) status = bytes[k++].value;
    REQUIRE(k + 2 <= bytes.size());
    REQUIRE(bytes[k].value < 0x80);
    REQUIRE(bytes[k + 1].value < 0x80);
    messages.push_back({t_ns, status, bytes[k].value, bytes[k + 1].value});
    k += 2;
  }
  return messages;
}

bool is_start(const Message& message) {
  return (message.status & 0xF0U) == 0x90 && message.data2 > 0;
}

SimulationOptions styled(int style) {
  SimulationOptions options;
  options.release = style % 2 == 0 ? ReleaseStyle::velocity_zero : ReleaseStyle::note_off;
  options.running_status = style >= 2;
  options.duration_ns = 120'000'000'000;
  return options;
}

}  // namespace

TEST_CASE("the same seed gives the same bytes at the same times, another seed others") {
  auto options = styled(2);
  options.faults = {{Rule::note_swapped_off, 0.2}, {Rule::wire_text, 0.2}};
  Simulator a(options);
  Simulator b(options);
  ++options.seed;
  Simulator c(options);
  const auto first = play(a);
  CHECK(first.size() > 1000);
  CHECK((first == play(b)));
  CHECK_FALSE((first == play(c)));
}

TEST_CASE("no byte begins before the wire has carried the one before") {
  for (int style = 0; style < 4; ++style) {
    auto options = styled(style);
    for (const auto rule : simulated_rules()) {
      const auto place = place_of(rule);
      if (place == FaultPlace::stroke || place == FaultPlace::when_clear) {
        options.faults.push_back({rule, 0.2});
      }
    }
    Simulator simulator(options);
    const auto bytes = play(simulator);
    CHECK(bytes.size() == simulator.bytes());
    for (std::size_t k = 1; k < bytes.size(); ++k) {
      REQUIRE(bytes[k].t_ns - bytes[k - 1].t_ns >= 320'000);
    }
    CHECK(bytes.back().t_ns < simulator.end_ns());
  }
}

TEST_CASE("a clean session releases what it started, once, in the style that was asked for") {
  for (int style = 0; style < 4; ++style) {
    Simulator simulator(styled(style));
    const auto messages = decode(play(simulator));
    CHECK(messages.size() > 2000);
    std::map<unsigned, std::int64_t> down;
    for (const auto& message : messages) {
      if (is_start(message)) {
        REQUIRE(message.status == 0x90);
        REQUIRE(message.data2 == Heron::velocity);
        REQUIRE(down.emplace(message.data1, message.t_ns).second);
        continue;
      }
      REQUIRE(message.status == (style % 2 == 0 ? 0x90U : 0x80U));
      const auto started = down.find(message.data1);
      REQUIRE(started != down.end());
      CHECK(message.t_ns - started->second > 200'000'000);
      down.erase(started);
    }
    CHECK(down.empty());
  }
}

TEST_CASE("the truth tells the strokes that the bytes hold") {
  for (int style = 0; style < 4; ++style) {
    auto options = styled(style);
    options.keep_truth = true;
    Simulator simulator(options);
    const auto messages = decode(play(simulator));
    std::vector<Message> starts;
    std::copy_if(messages.begin(), messages.end(), std::back_inserter(starts), is_start);
    std::size_t next = 0;
    for (const auto& stroke : simulator.truth().strokes) {
      const auto chord = Heron::chord_of(stroke.combination);
      REQUIRE(chord);
      REQUIRE(next < starts.size());
      CHECK(starts[next].t_ns == stroke.t_ns);
      CHECK((stroke.strings[1] > stroke.strings[0]) == stroke.up);
      for (const auto string : stroke.strings) {
        REQUIRE(next < starts.size());
        CHECK(starts[next++].data1 == Heron::note_of(*chord, string));
      }
    }
    CHECK(next == starts.size());
    CHECK(simulator.truth().faults.empty());
  }
}

TEST_CASE("running status is used where it was asked for, and refreshed within seconds") {
  for (int style = 0; style < 4; ++style) {
    Simulator simulator(styled(style));
    const auto bytes = play(simulator);
    std::int64_t status_ns = 0;
    std::size_t statuses = 0;
    for (const auto byte : bytes) {
      if (byte.value < 0x80) continue;
      CHECK(byte.t_ns - status_ns < 3'000'000'000);
      status_ns = byte.t_ns;
      ++statuses;
    }
    CHECK((statuses * 3 == bytes.size()) == (style < 2));
  }
}

TEST_CASE("a session ends after its strokes, its time or its messages") {
  SimulationOptions by_strokes;
  by_strokes.strokes = 7;
  by_strokes.keep_truth = true;
  Simulator strokes(by_strokes);
  play(strokes);
  CHECK(strokes.truth().strokes.size() == 7);

  SimulationOptions by_time;
  by_time.duration_ns = 10'000'000'000;
  Simulator timed(by_time);
  const auto bytes = play(timed);
  CHECK(bytes.back().t_ns > 9'000'000'000);
  CHECK(bytes.back().t_ns < 12'000'000'000);

  for (const std::uint64_t count : {12U, 30U, 32U, 42U, 1000U, 9998U}) {
    SimulationOptions by_messages;
    by_messages.messages = count;
    Simulator counted(by_messages);
    CHECK(decode(play(counted)).size() == count);
  }
}

TEST_CASE("an endless session goes on, keeps nothing, and ends its stroke when told to finish") {
  Simulator simulator({});
  std::vector<Byte> bytes;
  for (int k = 0; k < 10'000; ++k) {
    const auto chunk = simulator.next();
    REQUIRE(chunk);
    append(*chunk, bytes);
  }
  simulator.finish();
  const auto rest = play(simulator);
  CHECK(rest.size() < 100);
  bytes.insert(bytes.end(), rest.begin(), rest.end());
  const auto messages = decode(bytes);
  const auto starts = std::count_if(messages.begin(), messages.end(), is_start);
  CHECK(starts * 2 == static_cast<std::ptrdiff_t>(messages.size()));
  CHECK(simulator.truth().strokes.empty());
}

TEST_CASE("faults stand 1.3 s apart and carry what the truth says of them") {
  SimulationOptions options;
  options.duration_ns = 600'000'000'000;
  options.keep_truth = true;
  options.faults = {{Rule::note_flash, 1.0}, {Rule::note_off_unmatched, 1.0}};
  Simulator simulator(options);
  const auto messages = decode(play(simulator));
  const auto& faults = simulator.truth().faults;
  CHECK(faults.size() > 100);
  for (std::size_t k = 0; k < faults.size(); ++k) {
    if (k > 0) CHECK(faults[k].t_ns - faults[k - 1].t_ns >= 1'300'000'000);
    const auto at = std::find_if(messages.begin(), messages.end(), [&](const auto& message) {
      return message.t_ns == faults[k].t_ns;
    });
    REQUIRE(at != messages.end());
    CHECK(at->data1 == faults[k].note.value());
    CHECK(is_start(*at) == (faults[k].rule == Rule::note_flash));
  }
}

TEST_CASE("a silent controller sends nothing") {
  SimulationOptions options;
  options.faults = {{Rule::wire_silent, 1.0}};
  options.duration_ns = 5'000'000'000;
  options.keep_truth = true;
  Simulator simulator(options);
  CHECK_FALSE(simulator.next());
  CHECK(simulator.end_ns() == 5'000'000'000);
  CHECK(simulator.truth().faults.size() == 1);
}
