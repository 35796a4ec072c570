// app/io/midi_ports.h
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <RtMidi.h>

namespace strumwright::io {

/// A MIDI port of another program or device, and what opens it.
struct FoundPort {
  std::string name;
  bool by_libjack = false;
  RtMidi::Api api = RtMidi::UNSPECIFIED;  ///< where libjack does not serve it
};

/// All MIDI ports that give bytes, or those that take them: libjack's first, then those of each API
/// of RtMidi that works (JACK's only where libjack itself fails). Empty if no service runs.
enum class PortRole : std::uint8_t { giving, taking };
[[nodiscard]] std::vector<FoundPort> find_midi_ports(PortRole role);

}  // namespace strumwright::io
