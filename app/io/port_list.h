// app/io/port_list.h
#pragma once

#include <string>
#include <vector>

namespace strumwright::io {

struct MidiPort {
  std::string name;
  std::string api;   ///< "JACK", "ALSA", "CoreMIDI", "Windows MM"
  bool raw = false;  ///< bytes as on a wire; no API of an operating system gives them
};

struct SerialLine {
  std::string device;  ///< "/dev/ttyUSB0"
  std::string text;    ///< what the device says of itself
};

struct MissingService {
  std::string service;  ///< "JACK server"
  std::string start;    ///< what to do about it
};

/// All that can be opened on this machine now, as `ports` lists it.
struct PortList {
  std::vector<MidiPort> midi_in;
  std::vector<MidiPort> midi_out;
  std::vector<SerialLine> serial;
  std::vector<std::string> raw;  ///< raw MIDI device files
  std::vector<std::string> audio_out;
  std::vector<MissingService> missing;
};

/// Looks at every service and device. Opens no port, starts no server, prints nothing and never
/// fails: what is not there stands in `missing`.
[[nodiscard]] PortList list_ports();

/// The same of what can be listened to alone: `midi_in`, `serial` and `raw`.
[[nodiscard]] PortList list_inputs();

}  // namespace strumwright::io
