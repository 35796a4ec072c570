// tests/app/engine/simulated_source_test.cpp
#include "app/engine/simulated_source.h"

#include <chrono>
#include <cstdint>
#include <memory>
#include <thread>

#include "tests/app/engine/bench_support.h"
#include <doctest/doctest.h>

#include "app/engine/bench.h"

using namespace strumwright;
using namespace strumwright::engine;

namespace {

SessionSetup simulated_session() {
  SessionSetup setup;
  simulation::SimulationOptions options;
  options.seed = 5;
  setup.sources.push_back(std::make_unique<SimulatedSource>(options));
  return setup;
}

}  // namespace

TEST_CASE("the simulated Heron plays in real time and is marked as simulated") {
  Bench bench({});
  REQUIRE(bench.start(simulated_session()));
  REQUIRE(wait_until([&] { return bench.now().stroke.serial > 0 && bench.now().chord.named; }));
  CHECK(bench.now().simulated);
  CHECK(bench.now().source_name.view() == "SIMULATED Heron");
  CHECK(bench.now().last_byte_ns < bench.clock_ns());
}

TEST_CASE("stopped at any moment it leaves no note down and no finding") {
  for (const int after_ms : {0, 150, 700, 1100, 1600}) {
    CAPTURE(after_ms);
    Bench bench({});
    REQUIRE(bench.start(simulated_session()));
    std::this_thread::sleep_for(std::chrono::milliseconds(after_ms));
    bench.stop();
    const Now& now = bench.now();
    CHECK(now.held_count == 0);
    CHECK(now.findings_total == 0);
    CHECK(now.note_starts == now.note_releases);
  }
}
