// tests/speed/strum_speed.cpp
// What a strum of 24 onsets costs in the strum tracker, and what the screen's question costs.
#include <cstdint>
#include <utility>
#include <vector>

#include <benchmark/benchmark.h>

#include "core/strum/strum_tracker.h"

using namespace strumwright;

namespace {

constexpr int strings = 24;
constexpr std::int64_t ms = 1'000'000;

/// Up or down over all strings, 8 ms apart; every sixth strum has an early string and a double.
std::vector<strum::Onset> strum_of(std::int64_t start_ns, bool up, bool clean) {
  std::vector<strum::Onset> onsets;
  for (int i = 0; i < strings; ++i) {
    strum::Onset onset;
    onset.t_ns = start_ns + i * 8 * ms;
    onset.place = static_cast<std::uint8_t>(up ? i + 1 : strings - i);
    onset.note = static_cast<std::uint8_t>(36 + onset.place);
    onset.velocity = 80;
    onsets.push_back(onset);
  }
  if (!clean) std::swap(onsets[7].place, onsets[8].place);
  if (!clean) onsets[15].place = onsets[14].place;
  return onsets;
}

std::vector<std::vector<strum::Onset>> evening() {
  std::vector<std::vector<strum::Onset>> strums;
  for (int i = 0; i < 600; ++i) strums.push_back(strum_of(i * 500 * ms, i % 2 == 0, i % 6 != 0));
  return strums;
}

/// One iteration is one strum; 20 us is what all analysers together may take.
void strum_tracker(benchmark::State& state) {
  const auto strums = evening();
  std::vector<strum::Stroke> finished;
  std::size_t next = strums.size();
  strum::StrumTracker tracker;
  for (auto _ : state) {
    if (next == strums.size()) {
      tracker = strum::StrumTracker();
      next = 0;
    }
    for (const auto& onset : strums[next]) tracker.push(onset, finished);
    ++next;
    benchmark::DoNotOptimize(finished.data());
    finished.clear();
  }
  state.counters["onsets"] = strings;
}
BENCHMARK(strum_tracker)->Unit(benchmark::kMicrosecond)->Repetitions(9)->ReportAggregatesOnly();

/// The stroke as far as it has come, asked for each frame; `waiting` in the midst of a turn.
void current_stroke(benchmark::State& state) {
  strum::StrumTracker tracker;
  std::vector<strum::Stroke> finished;
  for (const auto& onset : strum_of(0, true, true)) tracker.push(onset, finished);
  if (state.range(0) != 0) {
    strum::Onset back;
    back.t_ns = strings * 8 * ms;
    back.place = 3;
    tracker.push(back, finished);
  }
  for (auto _ : state) benchmark::DoNotOptimize(tracker.current());
}
BENCHMARK(current_stroke)
    ->ArgName("waiting")
    ->Arg(0)
    ->Arg(1)
    ->Unit(benchmark::kMicrosecond)
    ->Repetitions(9)
    ->ReportAggregatesOnly();

}  // namespace

BENCHMARK_MAIN();
