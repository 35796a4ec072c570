// app/io/jack_client.h
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include <jack/jack.h>

#include "core/result.h"

namespace strumwright::io {

/// A client of the JACK server that runs; none is started.
///
/// All clients of the process know of each other, because libjack 1.9.21 shares its memory of the
/// server among them: once the server has stopped and another client is opened, or only tried, any
/// use of the old ones crashes, their closing too [run]. So none is opened until all that lost
/// their server are closed; whoever holds one closes it soon after it `ended`.
/// What libjack would print goes to the log at level debug.
class JackClient {
 public:
  /// `on_end(argument)` is called once, on a thread of libjack, when the server stops.
  using OnEnd = void (*)(void* argument);

  /// `name` gets a number if it is taken. Errors: no server runs, or it has just stopped.
  [[nodiscard]] static Result<JackClient> open(const char* name, OnEnd on_end = nullptr,
                                               void* argument = nullptr);

  JackClient();
  JackClient(JackClient&&) noexcept;
  JackClient& operator=(JackClient&&) noexcept;
  ~JackClient();

  [[nodiscard]] jack_client_t* get() const;

  /// The server has stopped; there is nothing left to do but to close.
  [[nodiscard]] bool ended() const;

  /// Closes it; callbacks have ended then. False if it must be left behind, for closing would
  /// crash: what the callbacks touch must then live on for ever.
  [[nodiscard]] bool close();

 private:
  struct Life;
  explicit JackClient(std::unique_ptr<Life> life);
  friend struct JackRegister;

  std::unique_ptr<Life> life_;
};

/// Whether a JACK server runs.
[[nodiscard]] bool jack_runs();

/// Full names of the MIDI ports that give bytes (for us to read), or of those that take them.
/// Errors: no server runs.
enum class JackPorts : std::uint8_t { giving, taking };
[[nodiscard]] Result<std::vector<std::string>> jack_midi_ports(JackPorts which);

/// The clients that take sound, "system" among them: RtAudio's names of JACK devices.
/// Errors: no server runs.
[[nodiscard]] Result<std::vector<std::string>> jack_audio_outputs();

/// How long a period of the server lasts, in ns. Errors: no server runs.
[[nodiscard]] Result<std::int64_t> jack_period_ns();

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
