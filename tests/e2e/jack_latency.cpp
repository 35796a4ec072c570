// tests/e2e/jack_latency.cpp
// How much later than a bare JACK client does a thread of ours hear of an event? Under a running
// server:
//
//   jack_latency [COUNT [PERIODS_BETWEEN [ordinary]]]
//
// One client sends an event each few periods. A second client of this program takes its time in its
// own process callback: the floor. The same event goes to a Source, through its ring and a futex
// wake to a waiting thread, which takes its time after it has the bytes. Prints both and their
// difference event by event, in microseconds, and what either missed. The thread asks for the
// priority of the bench thread, unless `ordinary`.
#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <thread>
#include <vector>

#include <jack/jack.h>
#include <jack/midiport.h>

#include "app/io/clock.h"
#include "app/io/source.h"
#include "app/io/thread_priority.h"

namespace {

using strumwright::io::now_ns;

constexpr std::size_t most = 16'384;  // what two data bytes can number

struct Bench {
  std::size_t count = 4000;
  unsigned periods_between = 4;
  jack_port_t* out = nullptr;
  jack_port_t* in = nullptr;
  std::atomic<bool> go{false};
  std::atomic<std::size_t> sent{0};
  unsigned waited = 0;
  std::array<std::int64_t, most> sent_ns{};
  std::array<std::int64_t, most> bare_ns{};
  std::array<std::int64_t, most> ring_ns{};
};

std::size_t serial_of(const std::uint8_t* bytes) {
  return static_cast<std::size_t>(bytes[1]) << 7U | bytes[2];
}

int send(jack_nframes_t frames, void* that) {
  auto& bench = *static_cast<Bench*>(that);
  void* buffer = jack_port_get_buffer(bench.out, frames);
  jack_midi_clear_buffer(buffer);
  const std::size_t serial = bench.sent;
  if (!bench.go || serial == bench.count || ++bench.waited < bench.periods_between) return 0;
  bench.waited = 0;
  const std::array<std::uint8_t, 3> message{0xB0, static_cast<std::uint8_t>(serial >> 7U),
                                            static_cast<std::uint8_t>(serial & 0x7FU)};
  bench.sent_ns[serial] = now_ns();
  jack_midi_event_write(buffer, 0, message.data(), message.size());
  bench.sent = serial + 1;
  return 0;
}

int hear(jack_nframes_t frames, void* that) {
  auto& bench = *static_cast<Bench*>(that);
  void* buffer = jack_port_get_buffer(bench.in, frames);
  for (std::uint32_t i = 0; i < jack_midi_get_event_count(buffer); ++i) {
    jack_midi_event_t event{};
    if (jack_midi_event_get(&event, buffer, i) != 0 || event.size != 3) continue;
    bench.bare_ns[serial_of(event.buffer)] = now_ns();
  }
  return 0;
}

void listen(Bench& bench, strumwright::io::StampedRing& ring, strumwright::io::Doorbell& bell,
            const std::atomic<bool>& done) {
  while (!done) {
    const auto seen = bell.count();
    while (const auto* item = ring.front()) {
      if (item->kind == strumwright::io::StampedRing::Kind::chunk && item->bytes.size() == 3) {
        bench.ring_ns[serial_of(item->bytes.data())] = now_ns();
      }
      ring.pop();
    }
    bell.wait(seen, 100'000'000);
  }
}

void print(const char* what, std::vector<std::int64_t> ns) {
  std::sort(ns.begin(), ns.end());
  const auto at = [&](double share) {
    return static_cast<double>(ns[static_cast<std::size_t>(share * double(ns.size() - 1))]) / 1000;
  };
  std::printf("%-22s n %5zu  p50 %9.1f  p90 %9.1f  p99 %9.1f  max %9.1f us\n", what, ns.size(),
              at(0.5), at(0.9), at(0.99), at(1.0));
}

int report(const Bench& bench) {
  std::vector<std::int64_t> bare;
  std::vector<std::int64_t> ring;
  std::vector<std::int64_t> added;
  for (std::size_t i = 0; i < bench.sent; ++i) {
    if (bench.bare_ns[i] != 0) bare.push_back(bench.bare_ns[i] - bench.sent_ns[i]);
    if (bench.ring_ns[i] != 0) ring.push_back(bench.ring_ns[i] - bench.sent_ns[i]);
    if (bench.bare_ns[i] != 0 && bench.ring_ns[i] != 0) {
      added.push_back(bench.ring_ns[i] - bench.bare_ns[i]);
    }
  }
  if (added.empty()) return 1;
  print("bare JACK client", bare);
  print("ring, waiting thread", ring);
  print("the same event, later", added);
  std::printf("sent %zu, missed by the bare client %zu, by the ring %zu\n", bench.sent.load(),
              bench.sent - bare.size(), bench.sent - ring.size());
  return 0;
}

}  // namespace

int main(int count, char** words) {
  static Bench bench;
  if (count > 1) bench.count = std::min<std::size_t>(std::strtoul(words[1], nullptr, 10), most);
  if (count > 2) bench.periods_between = static_cast<unsigned>(std::atoi(words[2]));
  auto source = strumwright::io::open_virtual("in");
  if (!source) {
    std::fprintf(stderr, "jack_latency: %s\n", source.error().what.c_str());
    return 1;
  }
  strumwright::io::Doorbell bell;
  strumwright::io::StampedRing ring(bell);
  if (!(*source)->start(ring)) return 1;
  std::atomic<bool> done{false};
  std::thread listener([&] {
    const bool prompt = count <= 3 && strumwright::io::run_promptly();
    std::printf("the waiting thread has %s priority\n", prompt ? "real-time" : "ordinary");
    listen(bench, ring, bell, done);
  });

  jack_client_t* sender = jack_client_open("latency-out", JackNoStartServer, nullptr);
  jack_client_t* hearer = jack_client_open("latency-in", JackNoStartServer, nullptr);
  bench.out = jack_port_register(sender, "out", JACK_DEFAULT_MIDI_TYPE, JackPortIsOutput, 0);
  bench.in = jack_port_register(hearer, "in", JACK_DEFAULT_MIDI_TYPE, JackPortIsInput, 0);
  jack_set_process_callback(sender, send, &bench);
  jack_set_process_callback(hearer, hear, &bench);
  jack_activate(sender);
  jack_activate(hearer);
  jack_connect(sender, jack_port_name(bench.out), jack_port_name(bench.in));
  jack_connect(sender, jack_port_name(bench.out), (*source)->info().name.c_str());
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  bench.go = true;
  while (bench.sent < bench.count) std::this_thread::sleep_for(std::chrono::milliseconds(20));
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  (*source)->stop();
  done = true;
  listener.join();
  jack_client_close(sender);
  jack_client_close(hearer);
  return report(bench);
}
