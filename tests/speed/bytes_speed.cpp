// tests/speed/bytes_speed.cpp
// The byte parser against libasound's and against summing the same bytes, in turn in one run.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <random>
#include <span>
#include <string>
#include <vector>

#include "tests/speed/ratio_table.h"
#include <alsa/asoundlib.h>
#include <benchmark/benchmark.h>

#include "core/midi/byte_parser.h"
#include "core/midi/status.h"
#include "core/midi/stream_writer.h"

namespace {

using namespace strumwright;
using Bytes = std::vector<std::uint8_t>;

constexpr std::size_t stream_bytes = std::size_t{16} << 20U;
/// Blocks of this size, so that one set of events stays in the cache and is used again.
constexpr std::size_t block_bytes = std::size_t{16} << 10U;
constexpr int strum_notes = 12;

/// Strums of 12 under running status, each released by velocity 0 or by 8n; before a byte, also
/// inside messages, a real-time byte one time in 64.
Bytes typical_stream() {
  std::mt19937 random(1);
  midi::StreamWriter writer(true);
  Bytes plain;
  Bytes bytes;
  bytes.reserve(stream_bytes + 4096);
  while (bytes.size() < stream_bytes) {
    plain.clear();
    const auto base = static_cast<std::uint8_t>(36 + random() % 48);
    const bool by_velocity = (random() & 1U) != 0;
    for (int i = 0; i < 2 * strum_notes; ++i) {
      const bool start = i < strum_notes;
      const auto key = static_cast<std::uint8_t>(base + i % strum_notes);
      const auto velocity = static_cast<std::uint8_t>(start ? 1 + random() % 127 : 0);
      writer.append(start || by_velocity ? midi::note_on : midi::note_off, key, velocity, plain);
    }
    for (const std::uint8_t byte : plain) {
      if (random() % 64 == 0) bytes.push_back(random() % 8 == 0 ? 0xFE : 0xF8);
      bytes.push_back(byte);
    }
  }
  bytes.resize(stream_bytes);
  return bytes;
}

/// Three bytes a note, as most senders write.
Bytes full_status_stream() {
  std::mt19937 random(3);
  midi::StreamWriter writer(false);
  Bytes bytes;
  while (bytes.size() < stream_bytes) {
    const auto key = static_cast<std::uint8_t>(36 + random() % 48);
    writer.append(midi::note_on, key, static_cast<std::uint8_t>(random() % 128), bytes);
  }
  bytes.resize(stream_bytes);
  return bytes;
}

Bytes random_stream() {
  std::mt19937 random(2);
  Bytes bytes(stream_bytes);
  for (auto& byte : bytes) byte = static_cast<std::uint8_t>(random() >> 13U);
  return bytes;
}

struct Streams {
  Bytes typical = typical_stream();
  Bytes random = random_stream();
  Bytes full = full_status_stream();
};

const Bytes& stream(int which) {
  static const Streams streams;
  return which == 0 ? streams.typical : which == 1 ? streams.random : streams.full;
}

void measured(benchmark::State& state, std::uint64_t messages) {
  const auto bytes = static_cast<double>(stream_bytes);
  state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations()) *
                          static_cast<std::int64_t>(stream_bytes));
  state.counters["messages_a_byte"] =
      static_cast<double>(messages) / static_cast<double>(state.iterations()) / bytes;
}

void ours_in_blocks(benchmark::State& state, int which) {
  const std::span<const std::uint8_t> bytes = stream(which);
  std::vector<midi::Event> room(midi::ByteParser::most_events(block_bytes));
  std::uint64_t messages = 0;
  for (auto _ : state) {
    midi::ByteParser parser;
    for (std::size_t from = 0; from < bytes.size(); from += block_bytes) {
      const auto block = bytes.subspan(from, std::min(block_bytes, bytes.size() - from));
      const auto t_ns = static_cast<std::int64_t>(from) * midi::byte_ns;
      benchmark::DoNotOptimize(parser.push(block, t_ns, midi::byte_ns, room.data()));
      benchmark::ClobberMemory();
    }
    messages += parser.counts().messages;
  }
  measured(state, messages);
}

void ours_by_byte(benchmark::State& state, int which) {
  const Bytes& bytes = stream(which);
  std::vector<midi::Event> room(midi::ByteParser::most_events(1));
  std::uint64_t messages = 0;
  for (auto _ : state) {
    midi::ByteParser parser;
    std::int64_t t_ns = 0;
    for (const std::uint8_t byte : bytes) {
      benchmark::DoNotOptimize(parser.push(byte, t_ns, room.data()));
      t_ns += midi::byte_ns;
    }
    messages += parser.counts().messages;
  }
  measured(state, messages);
}

void asound_by_byte(benchmark::State& state, int which) {
  const Bytes& bytes = stream(which);
  snd_midi_event_t* coder = nullptr;
  if (snd_midi_event_new(256, &coder) < 0) return state.SkipWithError("snd_midi_event_new failed");
  std::uint64_t messages = 0;
  for (auto _ : state) {
    snd_midi_event_reset_encode(coder);
    snd_seq_event_t event;
    for (const std::uint8_t byte : bytes) {
      if (snd_midi_event_encode_byte(coder, byte, &event) == 1) ++messages;
    }
    benchmark::DoNotOptimize(event);
  }
  snd_midi_event_free(coder);
  measured(state, messages);
}

void sum_of_bytes(benchmark::State& state, int which) {
  const Bytes& bytes = stream(which);
  for (auto _ : state) {
    std::uint64_t sum = 0;
    for (const std::uint8_t byte : bytes) sum += byte;
    benchmark::DoNotOptimize(sum);
  }
  measured(state, 0);
}

struct Candidate {
  const char* name;
  void (*run)(benchmark::State&, int);
};
constexpr Candidate candidates[] = {{"ours_in_blocks", ours_in_blocks},
                                    {"ours_by_byte", ours_by_byte},
                                    {"asound_by_byte", asound_by_byte},
                                    {"sum_of_bytes", sum_of_bytes}};
constexpr const char* stream_names[] = {"typical", "random", "full_status"};

std::string name_of(const char* candidate, int which) {
  return std::string(candidate) + "_" + stream_names[which];
}

void print_table(const speed::RatioTable& table) {
  const double per_byte = 1e6 / static_cast<double>(stream_bytes);  // from ms
  std::printf("\n%-16s %-12s ns/byte, CPU: median (least .. most)\n", "", "");
  for (int which = 0; which < 3; ++which) {
    for (const auto& candidate : candidates) {
      const auto name = name_of(candidate.name, which);
      if (!table.has(name)) continue;
      std::printf("%-16s %-12s %.2f (%.2f .. %.2f)\n", candidate.name, stream_names[which],
                  per_byte * table.median_of(name), per_byte * table.least_of(name),
                  per_byte * table.most_of(name));
    }
  }
  const auto time = [&](const char* candidate, int which) {
    return table.median_of(name_of(candidate, which));
  };
  std::printf("\nratios of medians\n");
  speed::print_at_least("blocks, typical: times libasound", time("asound_by_byte", 0),
                        time("ours_in_blocks", 0), 3);
  speed::print_at_least("blocks, random: times libasound", time("asound_by_byte", 1),
                        time("ours_in_blocks", 1), 2.5);
  speed::print_at_most("blocks, typical: time over the sum of bytes", time("ours_in_blocks", 0),
                       time("sum_of_bytes", 0), 5);
  speed::print_at_least("one byte a call, typical: times libasound", time("asound_by_byte", 0),
                        time("ours_by_byte", 0), 1.5);
  std::printf("no target: blocks, full status %.2f, one byte a call, random %.2f times libasound\n",
              time("asound_by_byte", 2) / time("ours_in_blocks", 2),
              time("asound_by_byte", 1) / time("ours_by_byte", 1));
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<char*> arguments(argv, argv + argc);
  std::string in_turn = "--benchmark_enable_random_interleaving=true";
  arguments.push_back(in_turn.data());
  int count = static_cast<int>(arguments.size());
  benchmark::Initialize(&count, arguments.data());
  for (int which = 0; which < 3; ++which) {
    for (const auto& candidate : candidates) {
      benchmark::RegisterBenchmark(name_of(candidate.name, which).c_str(), candidate.run, which)
          ->Unit(benchmark::kMillisecond)
          ->Iterations(1)
          ->Repetitions(15)
          ->ReportAggregatesOnly(false);
    }
  }
  speed::RatioTable table;
  benchmark::RunSpecifiedBenchmarks(&table);
  print_table(table);
  return 0;
}
