// app/io/rtmidi_source.h
#pragma once

#include <atomic>
#include <memory>
#include <optional>
#include <string>
#include <thread>

#include <RtMidi.h>

#include "app/io/rtmidi_port.h"
#include "app/io/source.h"

namespace strumwright::io {

struct RtMidiInput;

/// Reads a MIDI port through RtMidi on one API, stamped in its callback.
///
/// No API tells when a port goes, so a keeper looks for its name once a second, on an RtMidiIn of
/// its own that never opens a port. A dead port is closed under a watchdog: that may hang.
class RtMidiSource final : public Source {
 public:
  /// `port` as RtMidi names it; empty: a port of our own called `own_name`.
  [[nodiscard]] static OpenedSource open(RtMidi::Api api, std::string port, std::string own_name);

  RtMidiSource(RtMidi::Api api, std::string port, std::string own_name,
               std::optional<std::int64_t> resolution_ns, std::shared_ptr<RtMidiInput> input);
  ~RtMidiSource() override;

  [[nodiscard]] session::SourceInfo info() const override;
  [[nodiscard]] std::string detail() const override;
  [[nodiscard]] std::int64_t lateness_ns() const override;
  [[nodiscard]] Result<Done> start(StampedRing& into) override;
  void stop() override;

 private:
  void keep();
  void come_back();
  void say_gone();
  void leave();
  [[nodiscard]] bool is_listed(RtMidiIn& watcher) const;

  RtMidi::Api api_;
  std::string port_;
  std::string own_name_;
  std::optional<std::int64_t> resolution_ns_;
  StampedRing* into_ = nullptr;
  std::shared_ptr<RtMidiInput> input_;  ///< null while the port is away; the keeper's
  Doorbell bell_;
  std::atomic<bool> stopping_{false};
  std::thread keeper_;
};

}  // namespace strumwright::io
