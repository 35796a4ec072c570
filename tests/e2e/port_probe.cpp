// tests/e2e/port_probe.cpp
// The program's sources and outputs by themselves, also those of RtMidi, which the program leaves
// to libjack where JACK runs: JACK is the only MIDI service that needs no kernel module.
//
//   port_probe listen libjack|rtmidi PORT SECONDS    JSON Lines of all that the ring brought
//   port_probe send libjack|rtmidi PORT              twelve notes 4 ms apart, never ended by us
#include <array>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <string>

#include <RtMidi.h>

#include "app/io/clock.h"
#include "app/io/output.h"
#include "app/io/rtmidi_output.h"
#include "app/io/rtmidi_source.h"
#include "app/io/sender.h"
#include "app/io/source.h"

namespace {

using namespace strumwright;

constexpr int notes = 12;
constexpr std::int64_t gap_ns = 4'000'000;
constexpr std::int64_t head_start_ns = 50'000'000;

int fail(const Error& error) {
  std::fprintf(stderr, "%s: %s\n", error.where.c_str(), error.what.c_str());
  return 3;
}

const char* spelled(io::StampedRing::Kind kind) {
  constexpr std::array names{"chunk", "gone", "back", "notice", "lost"};
  return names[static_cast<std::size_t>(kind)];
}

void print(const io::StampedRing::Item& item) {
  std::printf("{\"kind\":\"%s\",\"t_ns\":%lld,\"hex\":\"", spelled(item.kind),
              static_cast<long long>(item.t_ns));
  if (item.kind == io::StampedRing::Kind::chunk) {
    for (const auto byte : item.bytes) std::printf("%02x", byte);
  }
  std::puts("\"}");
  std::fflush(stdout);
}

int listen(bool rtmidi, const std::string& port, double seconds) {
  io::Doorbell bell;
  io::StampedRing ring(bell);
  auto source =
      rtmidi ? io::RtMidiSource::open(RtMidi::UNIX_JACK, port, "in") : io::open_port(port);
  if (!source) return fail(source.error());
  if (const auto started = (*source)->start(ring); !started) return fail(started.error());
  std::printf("{\"kind\":\"source\",\"resolution_ns\":%lld}\n",
              static_cast<long long>((*source)->info().resolution_ns.value_or(0)));
  std::fflush(stdout);
  const auto until_ns = io::now_ns() + static_cast<std::int64_t>(seconds * 1e9);
  while (io::now_ns() < until_ns) {
    const auto seen = bell.count();
    while (const auto* item = ring.front()) {
      print(*item);
      ring.pop();
    }
    bell.wait(seen, 50'000'000);
  }
  return 0;
}

int send(bool rtmidi, const std::string& port) {
  auto output =
      rtmidi ? io::RtMidiOutput::open(RtMidi::UNIX_JACK, port, "out") : io::open_output(port);
  if (!output) return fail(output.error());
  io::Sender sender(std::move(*output));
  const auto first_ns = io::now_ns() + head_start_ns;
  for (int i = 0; i < notes; ++i) {
    const std::array<std::uint8_t, 3> note{0x90, static_cast<std::uint8_t>(60 + i), 100};
    sender.send_at(first_ns + i * gap_ns, note);
  }
  sender.drain();
  const auto error = sender.take_error();
  if (error.empty()) return 0;
  std::fprintf(stderr, "%s\n", error.c_str());
  return 3;
}

}  // namespace

int main(int count, char** words) {
  if (count < 4) return 2;
  const bool rtmidi = std::string(words[2]) == "rtmidi";
  if (std::string(words[1]) == "send") return send(rtmidi, words[3]);
  return count > 4 ? listen(rtmidi, words[3], std::atof(words[4])) : 2;
}
