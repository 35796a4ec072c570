// app/io/source.h
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "app/io/stamped_ring.h"
#include "core/result.h"
#include "core/session/entry.h"

namespace strumwright::io {

/// Something that gives bytes while it runs: a MIDI port, a serial line, a raw device file, a
/// FIFO, a pseudo-terminal.
///
/// Bytes and changes of the link go into one ring, in order. A link that breaks gives
/// `Kind::gone`, then the source itself tries to get it back by name, about once a second, and
/// gives `Kind::back`; it never ends by itself. `info` and `detail` may be called by any thread.
///
/// Every error of app/io is one of a device, a port or a service: commands leave with exit code 3.
class Source {
 public:
  virtual ~Source() = default;

  /// How its chunks are stamped, for the header of a capture.
  [[nodiscard]] virtual session::SourceInfo info() const = 0;

  /// One line for people: "raw bytes, serial line at 31,250 baud".
  [[nodiscard]] virtual std::string detail() const = 0;

  /// The most by which a stamp usually lies before its push: a reader takes the wire time of what
  /// it read away from the time of the read. Whoever lets time pass (`advance`) stays this much
  /// behind the clock. A stamp may also lie ahead of the push, on JACK by up to one period.
  [[nodiscard]] virtual std::int64_t lateness_ns() const = 0;

  /// Begins to push into `into`, which outlives the run. Once only.
  [[nodiscard]] virtual Result<Done> start(StampedRing& into) = 0;

  /// Ends at once, without a record in the ring. After it returns nothing is pushed any more.
  /// Idempotent; the destructor does it too.
  virtual void stop() = 0;
};

using OpenedSource = Result<std::unique_ptr<Source>>;

/// A MIDI input port, through libjack where a JACK server runs, else through RtMidi on each API
/// that it was compiled with. `name` is matched without regard to case: the full name, else the
/// only one that contains it. None or several: an error that lists the near ones.
[[nodiscard]] OpenedSource open_port(std::string_view name);

/// A port of our own that others connect to, "strumwright:NAME" on JACK. Fails where the
/// platform has none.
[[nodiscard]] OpenedSource open_virtual(std::string_view name);

/// Whether a service that has such ports runs.
[[nodiscard]] bool virtual_ports_work();

/// A serial line, raw, 8 bits, no parity, one stop bit. The rate that the driver really set is
/// read back; `detail` says it. Opening may restart the board at the other end (it raises DTR).
[[nodiscard]] OpenedSource open_serial(std::string_view device, int baud);

/// The usual rate of a MIDI wire. Source: MIDI 1.0 Detailed Specification, Hardware (31.25 kbaud).
inline constexpr int midi_baud = 31'250;

/// A raw MIDI device file, a pseudo-terminal or a FIFO. Not a regular file: that is for `audit`.
[[nodiscard]] OpenedSource open_raw(std::string_view path);

}  // namespace strumwright::io
