// app/io/jack_client.h
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include <jack/jack.h>

#include "core/result.h"

namespace strumwright::io {

struct JackCloser {
  void operator()(jack_client_t* client) const { jack_client_close(client); }
};
using JackClient = std::unique_ptr<jack_client_t, JackCloser>;

/// A client of the JACK server that runs; none is started. `name` gets a number if it is taken.
/// What libjack would print goes to the log at level debug. Errors: no server runs.
[[nodiscard]] Result<JackClient> open_jack(const char* name);

/// Full names of the MIDI ports that give bytes (for us to read), or of those that take them.
enum class JackPorts : std::uint8_t { giving, taking };
[[nodiscard]] std::vector<std::string> jack_midi_ports(jack_client_t* client, JackPorts which);

/// Turns times of libjack into ours. Seen on Debian 12: libjack 1.9.21 counts by another clock
/// (CLOCK_MONOTONIC_RAW, which nothing slews), 0.25 s off after some days and drifting, so the
/// distance is measured anew in each cycle. May be called from a process callback.
///
/// Only with an open client: before the first one libjack 1.9.21 has no clock and jumps to 0.
class JackClock {
 public:
  /// Measures the distance; a measure that was interrupted is left out.
  void look() noexcept;

  [[nodiscard]] std::int64_t to_ns(jack_time_t us) const noexcept {
    return static_cast<std::int64_t>(us) * 1000 + offset_ns_;
  }
  [[nodiscard]] jack_time_t from_ns(std::int64_t t_ns) const noexcept {
    return static_cast<jack_time_t>((t_ns - offset_ns_) / 1000);
  }

 private:
  std::int64_t offset_ns_ = 0;
  bool known_ = false;
};

}  // namespace strumwright::io
