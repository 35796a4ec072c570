// app/io/rtmidi_port.h
#pragma once

#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include <RtMidi.h>

#include "core/result.h"

namespace strumwright::io {

/// What RtMidi complained of, instead of its printing and throwing. Any thread.
class Complaints {
 public:
  void add(const std::string& text);
  /// The newest since the last call; empty if none.
  [[nodiscard]] std::string take();

 private:
  std::mutex mutex_;
  std::string newest_;
};

/// Whether it is worth asking RtMidi about this API: JACK only if a server runs, ALSA only if its
/// sequencer is there. RtMidi prints when it tries one that is not.
[[nodiscard]] bool api_works(RtMidi::Api api);

/// The APIs that RtMidi was compiled with and that work now.
[[nodiscard]] std::vector<RtMidi::Api> working_apis();

/// Whether ALSA's sequencer can be opened.
[[nodiscard]] bool has_alsa_sequencer();

/// An RtMidiIn or RtMidiOut of one API with no port open, that neither prints nor throws later:
/// what it has to say goes to `complaints`, which outlives it.
[[nodiscard]] Result<std::unique_ptr<RtMidiIn>> make_rtmidi_in(RtMidi::Api api,
                                                               Complaints& complaints);
[[nodiscard]] Result<std::unique_ptr<RtMidiOut>> make_rtmidi_out(RtMidi::Api api,
                                                                 Complaints& complaints);

/// The names of its ports, in RtMidi's order.
[[nodiscard]] std::vector<std::string> rtmidi_names(RtMidi& ports);

/// Opens the port of that lasting name, or (`name` empty) a port of our own called `own_name`.
/// The index is looked up right before, for indices move when a device comes or goes.
[[nodiscard]] Result<Done> open_rtmidi(RtMidi& ports, const std::string& name,
                                       const std::string& own_name, Complaints& complaints);

}  // namespace strumwright::io
