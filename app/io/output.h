// app/io/output.h
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "core/result.h"

namespace strumwright::io {

/// Where bytes go out: a MIDI port or a file descriptor. Thread: its owner's only (a Sender).
class Output {
 public:
  virtual ~Output() = default;
  [[nodiscard]] virtual std::string name() const = 0;

  /// Bytes pass as they are, running status included; else it takes one whole message a call.
  [[nodiscard]] virtual bool raw() const = 0;

  /// Sends these bytes, meant for `t_ns` of the monotonic clock, which is about now. JACK keeps
  /// the distances between such times to the frame, one period later; others send at once.
  [[nodiscard]] virtual Result<Done> send(std::int64_t t_ns,
                                          std::span<const std::uint8_t> bytes) = 0;

  /// How long before its time `send` wants a message, so that it can keep that time.
  [[nodiscard]] virtual std::int64_t lead_ns() const { return 0; }

  /// Waits until all is out, half a second at most.
  virtual void flush() = 0;

  /// Looks after the link; to be called about once a second while nothing is sent.
  virtual void tend() {}
};

using OpenedOutput = Result<std::unique_ptr<Output>>;

/// A MIDI output port by name, as `open_port` matches names.
[[nodiscard]] OpenedOutput open_output(std::string_view name);

/// A port of our own that others connect to, "strumwright-out:NAME" on JACK.
[[nodiscard]] OpenedOutput open_virtual_output(std::string_view name);

/// A serial line, a raw MIDI device file, a pseudo-terminal or a FIFO.
[[nodiscard]] OpenedOutput open_raw_output(std::string_view path);

}  // namespace strumwright::io
