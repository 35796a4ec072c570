// app/io/port_list.cpp
#include "app/io/port_list.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <initializer_list>
#include <utility>

#include <RtAudio.h>
#include <libserialport.h>

#include "app/io/jack_client.h"
#include "app/io/midi_ports.h"
#include "app/io/rtmidi_port.h"

namespace strumwright::io {

namespace {

namespace fs = std::filesystem;

std::vector<MidiPort> midi_ports(PortRole role) {
  std::vector<MidiPort> ports;
  for (auto& port : find_midi_ports(role)) {
    auto api = port.by_libjack ? std::string("JACK") : RtMidi::getApiDisplayName(port.api);
    ports.push_back({std::move(port.name), std::move(api), false});
  }
  return ports;
}

std::string described(sp_port* port) {
  const char* text = sp_get_port_description(port);
  std::string line = text == nullptr ? "serial line" : text;
  switch (sp_get_port_transport(port)) {
    case SP_TRANSPORT_USB:
      return line + " (USB)";
    case SP_TRANSPORT_BLUETOOTH:
      return line + " (Bluetooth)";
    default:
      return line;
  }
}

std::vector<SerialLine> serial_lines() {
  std::vector<SerialLine> lines;
  sp_port** ports = nullptr;
  if (sp_list_ports(&ports) != SP_OK) return lines;
  for (sp_port** port = ports; *port != nullptr; ++port) {
    lines.push_back({sp_get_port_name(*port), described(*port)});
  }
  sp_free_port_list(ports);
  return lines;
}

void add_files(std::vector<std::string>& paths, const char* folder,
               std::initializer_list<const char*> beginnings) {
  std::error_code none;
  for (fs::directory_iterator file(folder, none), end; !none && file != end; file.increment(none)) {
    const std::string name = file->path().filename().string();
    const bool fits = std::any_of(beginnings.begin(), beginnings.end(),
                                  [&](const char* start) { return name.rfind(start, 0) == 0; });
    if (fits && file->is_character_file(none)) paths.push_back(file->path().string());
  }
}

std::vector<std::string> raw_files() {
  std::vector<std::string> paths;
  // Source: Linux Documentation/admin-guide/devices.txt (OSS) and sound/designs (ALSA raw MIDI).
  add_files(paths, "/dev/snd", {"midiC"});
  add_files(paths, "/dev", {"midi"});
  std::sort(paths.begin(), paths.end());
  return paths;
}

bool has_alsa_sound() {
  std::vector<std::string> paths;
  add_files(paths, "/dev/snd", {"pcmC"});
  return !paths.empty();
}

bool has_pulse() {
  if (std::getenv("PULSE_SERVER") != nullptr) return true;  // NOLINT(concurrency-mt-unsafe)
  const char* folder = std::getenv("XDG_RUNTIME_DIR");      // NOLINT(concurrency-mt-unsafe)
  std::error_code none;
  return folder != nullptr && fs::exists(fs::path(folder) / "pulse" / "native", none);
}

/// RtAudio prints dozens of lines where a service is missing: only those that are there are asked.
/// JACK we ask ourselves: see JackClient on clients that it does not know of.
bool audio_works(RtAudio::Api api) {
  switch (api) {
    case RtAudio::LINUX_ALSA:
      return has_alsa_sound();
    case RtAudio::LINUX_PULSE:
      return has_pulse();
    case RtAudio::UNIX_JACK:
    case RtAudio::RTAUDIO_DUMMY:
      return false;
    default:
      return true;
  }
}

void add_outputs(std::vector<std::string>& names, RtAudio::Api api) {
  try {
    RtAudio audio(api);
    audio.showWarnings(false);
    for (unsigned i = 0; i < audio.getDeviceCount(); ++i) {
      const auto device = audio.getDeviceInfo(i);
      if (device.probed && device.outputChannels > 0) names.push_back(device.name);
    }
  } catch (const std::exception&) {
    return;  // a service that went while we asked has no outputs
  }
}

std::vector<std::string> audio_outputs() {
  std::vector<RtAudio::Api> apis;
  RtAudio::getCompiledApi(apis);
  std::vector<std::string> names;
  if (auto found = jack_audio_outputs()) names = std::move(*found);
  for (const auto api : apis) {
    if (audio_works(api)) add_outputs(names, api);
  }
  return names;
}

bool has_api(RtMidi::Api wanted) {
  std::vector<RtMidi::Api> apis;
  RtMidi::getCompiledApi(apis);
  return std::find(apis.begin(), apis.end(), wanted) != apis.end();
}

std::vector<MissingService> missing_services(const PortList& list) {
  std::vector<MissingService> missing;
  if (!jack_runs()) {
    missing.push_back({"JACK server",
                       "start jackd or a PipeWire JACK session; `jackd -d dummy` is "
                       "enough to connect programs"});
  }
  if (has_api(RtMidi::LINUX_ALSA) && !has_alsa_sequencer()) {
    std::error_code none;
    missing.push_back({"ALSA sequencer (/dev/snd/seq)",
                       fs::exists("/dev/snd/seq", none)
                           ? "join its group: sudo usermod -aG audio $USER, then log in again"
                           : "load it: sudo modprobe snd-seq"});
  }
  if (list.audio_out.empty()) {
    missing.push_back({"sound output", "plug one in, or start the sound server"});
  }
  return missing;
}

}  // namespace

PortList list_inputs() {
  PortList list;
  list.midi_in = midi_ports(PortRole::giving);
  list.serial = serial_lines();
  list.raw = raw_files();
  return list;
}

PortList list_ports() {
  PortList list = list_inputs();
  list.midi_out = midi_ports(PortRole::taking);
  list.audio_out = audio_outputs();
  list.missing = missing_services(list);
  return list;
}

}  // namespace strumwright::io
