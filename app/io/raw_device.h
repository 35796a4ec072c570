// app/io/raw_device.h
#pragma once

#include <cstdint>
#include <string>

#include "app/io/file_descriptor.h"
#include "core/result.h"

namespace strumwright::io {

enum class DeviceKind : std::uint8_t { serial, pseudo_terminal, fifo, midi_file };

/// A device file of bytes, opened and set.
struct RawDevice {
  FileDescriptor fd;
  DeviceKind kind = DeviceKind::midi_file;
  int baud = 0;         ///< of a serial line or pseudo-terminal: as read back; else 0
  bool by_usb = false;  ///< a MIDI device file whose wire is USB: it carries whole messages
};

enum class Direction : std::uint8_t { in, out };

/// Opens `path` without waiting and, if it is a terminal line, sets it raw at `baud`.
/// Refuses regular files, folders and sockets. Errors: one sentence with its remedy.
[[nodiscard]] Result<RawDevice> open_device(const std::string& path, int baud, Direction direction);

/// How long the adapter of a serial line may hold bytes back, in ms; 0 if the system says nothing.
[[nodiscard]] int adapter_hold_ms(const std::string& path);

}  // namespace strumwright::io
