// app/io/jack_client.cpp
#include "app/io/jack_client.h"

#include <jack/midiport.h>
#include <spdlog/spdlog.h>

#include "app/io/clock.h"

namespace strumwright::io {

namespace {

void log_line(const char* text) { spdlog::debug("libjack: {}", text); }

void quiet() {
  // Process-wide, and RtMidi's use of libjack falls under it too.
  jack_set_error_function(log_line);
  jack_set_info_function(log_line);
}

}  // namespace

Result<JackClient> open_jack(const char* name) {
  quiet();
  jack_status_t status{};
  JackClient client(jack_client_open(name, JackNoStartServer, &status));
  if (client) return client;
  if ((status & JackServerFailed) != 0) {
    return Error{"no JACK server runs", "JACK", "start jackd or a PipeWire JACK session"};
  }
  return Error{"the JACK server takes no new client", "JACK", "end some of its clients"};
}

std::vector<std::string> jack_midi_ports(jack_client_t* client, JackPorts which) {
  const unsigned long flags = which == JackPorts::giving ? JackPortIsOutput : JackPortIsInput;
  std::vector<std::string> names;
  const char** found = jack_get_ports(client, nullptr, JACK_DEFAULT_MIDI_TYPE, flags);
  if (found == nullptr) return names;
  for (const char** name = found; *name != nullptr; ++name) names.emplace_back(*name);
  jack_free(found);
  return names;
}

void JackClock::look() noexcept {
  constexpr std::int64_t longest_ns = 5'000;  // ours; three clock readings take about 0.1 us
  const std::int64_t before_ns = now_ns();
  const auto theirs_us = static_cast<std::int64_t>(jack_get_time());
  const std::int64_t after_ns = now_ns();
  if (known_ && after_ns - before_ns > longest_ns) return;
  offset_ns_ = before_ns + (after_ns - before_ns) / 2 - theirs_us * 1000;
  known_ = true;
}

}  // namespace strumwright::io
