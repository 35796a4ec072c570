// app/io/midi_ports.cpp
#include "app/io/midi_ports.h"

#include <algorithm>
#include <utility>

#include "app/io/jack_client.h"
#include "app/io/jack_output.h"
#include "app/io/jack_source.h"
#include "app/io/name_match.h"
#include "app/io/output.h"
#include "app/io/rtmidi_output.h"
#include "app/io/rtmidi_port.h"
#include "app/io/rtmidi_source.h"
#include "app/io/source.h"

namespace strumwright::io {

namespace {

constexpr const char* input_name = "in";
constexpr const char* output_name = "out";

std::vector<std::string> names_on(RtMidi::Api api, PortRole role) {
  Complaints complaints;
  if (role == PortRole::giving) {
    const auto in = make_rtmidi_in(api, complaints);
    return in ? rtmidi_names(**in) : std::vector<std::string>{};
  }
  const auto out = make_rtmidi_out(api, complaints);
  return out ? rtmidi_names(**out) : std::vector<std::string>{};
}

/// The API of RtMidi that gives us a port of our own where no JACK server runs.
Result<RtMidi::Api> virtual_api() {
  for (const auto api : working_apis()) {
    if (api == RtMidi::LINUX_ALSA || api == RtMidi::MACOSX_CORE) return api;
  }
  return Error{"nothing here can give us a port of our own", "MIDI",
               "start jackd or a PipeWire JACK session; on Windows use a loopback driver"};
}

Result<FoundPort> choose(std::string_view name, PortRole role) {
  auto ports = find_midi_ports(role);
  std::vector<std::string> names;
  names.reserve(ports.size());
  for (const auto& port : ports) names.push_back(port.name);
  const auto found =
      find_name(names, name, role == PortRole::giving ? "MIDI inputs" : "MIDI outputs");
  if (!found) return found.error();
  return std::move(ports[*found]);
}

}  // namespace

std::vector<FoundPort> find_midi_ports(PortRole role) {
  std::vector<FoundPort> ports;
  auto jack = jack_midi_ports(role == PortRole::giving ? JackPorts::giving : JackPorts::taking);
  if (jack) {
    for (auto& name : *jack) ports.push_back({std::move(name), true});
  }
  for (const auto api : working_apis()) {
    if (api == RtMidi::UNIX_JACK && jack) continue;
    for (auto& name : names_on(api, role)) ports.push_back({std::move(name), false, api});
  }
  return ports;
}

OpenedSource open_port(std::string_view name) {
  const auto port = choose(name, PortRole::giving);
  if (!port) return port.error();
  if (port->by_libjack) return JackSource::open(port->name, input_name);
  return RtMidiSource::open(port->api, port->name, input_name);
}

OpenedSource open_virtual(std::string_view name) {
  if (jack_runs()) return JackSource::open("", std::string(name));
  const auto api = virtual_api();
  if (!api) return api.error();
  return RtMidiSource::open(*api, "", std::string(name));
}

bool virtual_ports_work() { return jack_runs() || static_cast<bool>(virtual_api()); }

OpenedOutput open_output(std::string_view name) {
  const auto port = choose(name, PortRole::taking);
  if (!port) return port.error();
  if (port->by_libjack) return JackOutput::open(port->name, output_name);
  return RtMidiOutput::open(port->api, port->name, output_name);
}

OpenedOutput open_virtual_output(std::string_view name) {
  if (jack_runs()) return JackOutput::open("", std::string(name));
  const auto api = virtual_api();
  if (!api) return api.error();
  return RtMidiOutput::open(*api, "", std::string(name));
}

}  // namespace strumwright::io
