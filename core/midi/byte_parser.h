// core/midi/byte_parser.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/limits.h"
#include "core/midi/event.h"

namespace strumwright::midi {

/// What one source's bytes came to so far.
struct ParserCounts {
  std::uint64_t bytes = 0;
  std::uint64_t messages = 0;           ///< complete, defined messages; a closed SysEx is one
  std::uint64_t running_used = 0;       ///< messages sent without their own status byte
  std::uint64_t running_possible = 0;   ///< channel messages whose status was the running status
};

/// The MIDI 1.0 byte stream of one source, incremental over any split of its bytes.
///
/// Real-time bytes are delivered at once and disturb nothing, but FF clears running status and cuts
/// short what is open. A run of data bytes with no status in force is one event, given when the run
/// ends. Errors: none, every byte is welcome. Allocates nothing. Thread: its owner's only.
/// Source: MIDI 1.0 Detailed Specification 4.2; anomalies as in the catalogue of rules.
class ByteParser {
 public:
  /// The most events that `bytes` bytes can give.
  static constexpr std::size_t most_events(std::size_t bytes) { return 4 * bytes + 4; }

  /// Takes a block whose byte k began at `first_ns + k * step_ns`; writes to `out`, which has room
  /// for `most_events(bytes.size())`. Returns how many events were written.
  std::size_t push(std::span<const std::uint8_t> bytes, std::int64_t first_ns, std::int64_t step_ns,
                   Event* out);

  /// Takes one byte; as above, with room for `most_events(1)`.
  std::size_t push(std::uint8_t byte, std::int64_t t_ns, Event* out);

  /// Input was lost (`cleared` true: or the port went): running status and any open message are
  /// dropped in silence, and until the next status below F8 nothing is raised, nor for an F7 that
  /// is that status. A run that was under way before is given. Room for `most_events(0)`.
  std::size_t lose(Event* out);

  /// The input ended: gives an open run, message (cut_short) or SysEx (sysex_open).
  std::size_t finish(Event* out);

  /// When the open message or SysEx began, if one is open.
  [[nodiscard]] std::optional<std::int64_t> open_since_ns() const;

  /// The running status in force; 0 if none.
  [[nodiscard]] std::uint8_t running_status() const;

  [[nodiscard]] const ParserCounts& counts() const;

  /// The SysEx newest completed by a one-byte push, or a block that ends with its F7: its first
  /// bytes with F0, F7 if it fits, without real-time bytes.
  [[nodiscard]] std::span<const std::uint8_t> sysex() const;
};

}  // namespace strumwright::midi
