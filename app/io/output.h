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

  /// Sends these bytes now. May block for as long as the port takes.
  [[nodiscard]] virtual Result<Done> send(std::span<const std::uint8_t> bytes) = 0;
};

using OpenedOutput = Result<std::unique_ptr<Output>>;

/// A MIDI output port by name, as `open_port` matches names.
[[nodiscard]] OpenedOutput open_output(std::string_view name);

/// A port of our own that others connect to, "strumwright:NAME" on JACK.
[[nodiscard]] OpenedOutput open_virtual_output(std::string_view name);

/// A serial line, a raw MIDI device file, a pseudo-terminal or a FIFO.
[[nodiscard]] OpenedOutput open_raw_output(std::string_view path);

}  // namespace strumwright::io
