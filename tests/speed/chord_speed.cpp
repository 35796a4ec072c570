// tests/speed/chord_speed.cpp
// Naming 15 notes: as ids against the floor that any table must pay (mask, lowest, one look-up), as
// text against a chord detector of the node world (chord_peer.cjs, run beside this).
#include <array>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <vector>

#include "tests/speed/ratio_table.h"
#include <benchmark/benchmark.h>

#include "core/harmony/chord_kind.h"
#include "core/harmony/chord_name.h"

using namespace strumwright::harmony;

namespace {

using Strum = std::array<std::uint8_t, 15>;
constexpr std::size_t strum_count = 4096;

/// Fifteen strings rising through a chord, as a strummed instrument sends them.
std::vector<Strum> chord_strums() {
  std::mt19937 random(1);
  std::vector<Strum> strums(strum_count);
  for (auto& strum : strums) {
    const auto tones = chord_kinds()[random() % 20].tones;
    auto note = static_cast<std::uint8_t>(36 + random() % 12);
    const std::uint8_t root = note;
    for (auto& string : strum) {
      while ((tones >> (note - root) % 12 & 1) == 0) ++note;
      string = note < 128 ? note : root;
      ++note;
    }
  }
  return strums;
}

std::vector<Strum> random_strums() {
  std::mt19937 random(2);
  std::vector<Strum> strums(strum_count);
  for (auto& strum : strums) {
    for (auto& string : strum) string = static_cast<std::uint8_t>(random() % 128);
  }
  return strums;
}

void floor_of_naming(benchmark::State& state) {
  std::array<std::uint16_t, 128> bits{};
  for (std::size_t note = 0; note < bits.size(); ++note) {
    bits[note] = static_cast<std::uint16_t>(1U << note % 12);
  }
  std::vector<std::uint16_t> table(12 * 4096);
  for (std::size_t cell = 0; cell < table.size(); ++cell) {
    table[cell] = static_cast<std::uint16_t>(cell * 7);
  }
  const auto strums = chord_strums();
  std::size_t next = 0;
  for (auto _ : state) {
    std::uint16_t mask = 0;
    std::uint8_t lowest = 127;
    for (const auto note : strums[next]) {
      mask |= bits[note];
      lowest = note < lowest ? note : lowest;
    }
    benchmark::DoNotOptimize(table[lowest % 12 * 4096U + mask]);
    next = (next + 1) % strum_count;
  }
}

void name_as_ids(benchmark::State& state, const std::vector<Strum>& strums) {
  std::size_t next = 0;
  for (auto _ : state) {
    const auto name = name_chord(strums[next]);
    benchmark::DoNotOptimize(&name);
    benchmark::ClobberMemory();
    next = (next + 1) % strum_count;
  }
}

void name_as_text(benchmark::State& state) {
  const auto strums = chord_strums();
  std::size_t next = 0;
  for (auto _ : state) {
    const auto name = name_chord(strums[next]);
    if (name.named) benchmark::DoNotOptimize(to_text(name.best));
    next = (next + 1) % strum_count;
  }
}

}  // namespace

BENCHMARK(floor_of_naming)->Name("chord/floor")->Repetitions(9);
BENCHMARK_CAPTURE(name_as_ids, chords, chord_strums())->Name("chord/ids")->Repetitions(9);
BENCHMARK_CAPTURE(name_as_ids, random, random_strums())->Name("chord/ids-random-notes");
BENCHMARK(name_as_text)->Name("chord/text")->Repetitions(9);

/// STRUMWRIGHT_CHORD_PEER_NS, which tests/speed/run takes from chord_peer.cjs: the node peer's time
/// for a name in the same run.
int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  strumwright::speed::RatioTable table;
  benchmark::RunSpecifiedBenchmarks(&table);
  benchmark::Shutdown();
  using strumwright::speed::print_ratio;
  const double over_floor = table.median_of("chord/ids") / table.median_of("chord/floor");
  print_ratio("chord as ids: time over the mask-and-table floor", over_floor, "<=", 2.5,
              over_floor <= 2.5);
  const char* peer_ns = std::getenv("STRUMWRIGHT_CHORD_PEER_NS");
  if (peer_ns == nullptr || std::atof(peer_ns) <= 0) {
    std::puts("chord as text: the node peer is not there, no ratio");
    return 0;
  }
  const double times = std::atof(peer_ns) / table.median_of("chord/text");
  print_ratio("chord as text: times the node peer", times, ">=", 100, times >= 100);
  return 0;
}
