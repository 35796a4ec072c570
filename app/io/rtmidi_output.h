// app/io/rtmidi_output.h
#pragma once

#include <memory>
#include <string>

#include <RtMidi.h>

#include "app/io/output.h"
#include "app/io/rtmidi_port.h"

namespace strumwright::io {

/// Sends through RtMidi on one API.
class RtMidiOutput final : public Output {
 public:
  /// `port` as RtMidi names it; empty: a port of our own called `own_name`.
  [[nodiscard]] static OpenedOutput open(RtMidi::Api api, const std::string& port,
                                         const std::string& own_name);

  /// `open` makes it; `port` complains to `complaints`.
  RtMidiOutput(std::string name, std::unique_ptr<Complaints> complaints,
               std::unique_ptr<RtMidiOut> port);
  ~RtMidiOutput() override;

  [[nodiscard]] std::string name() const override { return name_; }
  [[nodiscard]] bool raw() const override { return false; }
  [[nodiscard]] Result<Done> send(std::int64_t t_ns, std::span<const std::uint8_t> bytes) override;
  void flush() override;

 private:
  std::string name_;
  std::unique_ptr<Complaints> complaints_;
  std::unique_ptr<RtMidiOut> port_;
};

}  // namespace strumwright::io
