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
  std::uint64_t messages = 0;          ///< complete, defined messages; a closed SysEx is one
  std::uint64_t running_used = 0;      ///< messages sent without their own status byte
  std::uint64_t running_possible = 0;  ///< channel messages whose status was the running status
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
  std::size_t push(std::uint8_t byte, std::int64_t t_ns, Event* out) {
    return static_cast<std::size_t>(take(byte, t_ns, out) - out);
  }

  /// Input was lost, or the port went: running status and any open message are dropped in silence,
  /// and until the next status below F8 nothing is raised, nor for an F7 that is that status. A run
  /// that was under way before is given. Room for `most_events(0)`.
  std::size_t lose(Event* out);

  /// The input ended: gives an open run, message (cut_short) or SysEx (sysex_open).
  std::size_t finish(Event* out);

  /// When the open message or SysEx began, if one is open.
  [[nodiscard]] std::optional<std::int64_t> open_since_ns() const;

  /// The running status in force; 0 if none.
  [[nodiscard]] std::uint8_t running_status() const;

  [[nodiscard]] const ParserCounts& counts() const;

  /// The newest complete SysEx, until the next F0 comes (so ask after a one-byte push, or after a
  /// block that ends with its F7): its first bytes with F0, F7 if it fits, without real-time bytes.
  [[nodiscard]] std::span<const std::uint8_t> sysex() const;

 private:
  /// What the next data byte will be.
  enum class Phase : std::uint8_t {
    muted,          ///< of no interest: after a loss, before a status
    stray,          ///< the first of a run with no status in force
    run,            ///< another one of such a run
    sysex,          ///< inside a SysEx
    idle_one,       ///< a whole message under running status
    own_one,        ///< the only one after the message's own status byte
    common_two,     ///< the first of two of a system common message
    common_second,  ///< the second of these
    second,         ///< the second of two of a channel message
    idle_two,       ///< the first of two under running status
    own_two,        ///< the first of two after a channel message's own status byte
  };

  /// So many bytes of printed text in a row make a run `Code::text` (ours).
  static constexpr std::uint8_t text_bytes = 8;

  class Block;
  struct Taken {
    std::size_t bytes;
    Event* out;
  };

  /// The data bytes of notes are by far the most, so that they are spared the call.
  Event* take(std::uint8_t byte, std::int64_t t_ns, Event* out) {
    if (byte < 0x80 && phase_ >= Phase::second) {
      if (phase_ == Phase::second) {
        *out++ = {open_.t_ns, open_.word | std::uint64_t{byte} << 16U};
        phase_ = Phase::idle_two;
        count_channel_message(open_.running());
      } else {
        if (phase_ == Phase::idle_two) {
          open_ = make_event(t_ns, running_, 0, 0, true, counts_.bytes);
        }
        open_.word |= std::uint64_t{byte} << 8U;
        phase_ = Phase::second;
      }
      ++counts_.bytes;
      return out;
    }
    return take_other(byte, t_ns, out);
  }
  void count_channel_message(bool without_status) {
    ++counts_.messages;
    counts_.running_used += without_status ? 1 : 0;
    counts_.running_possible += without_status || could_run_ ? 1 : 0;
  }

  Taken take_to_rest(std::span<const std::uint8_t> bytes, std::size_t least, std::uint64_t t_ns,
                     std::uint64_t step_ns, Event* out);
  [[nodiscard]] bool at_rest(std::uint8_t next) const;
  Event* take_other(std::uint8_t byte, std::int64_t t_ns, Event* out);
  Event* take_data(std::uint8_t byte, std::int64_t t_ns, Event* out);
  Event* take_status(std::uint8_t byte, std::int64_t t_ns, Event* out);
  Event* take_common(std::uint8_t byte, std::int64_t t_ns, bool after_loss, Event* out);
  Event* take_real_time(std::uint8_t byte, std::int64_t t_ns, Event* out);
  Event* complete(Event message, Event* out);
  Event* end_sysex(Event* out);
  Event* give_open(Event* out) const;
  Event* give_run(Event* out) const;
  void open(std::uint8_t status, std::int64_t t_ns, Phase next);
  void grow_run(std::uint8_t byte);
  void keep_sysex(std::uint8_t byte);
  std::size_t keep_sysex(std::span<const std::uint8_t> bytes);
  [[nodiscard]] Phase resting() const;

  ParserCounts counts_;
  Event open_{};              ///< first byte of the open message, SysEx or run, and what came since
  std::uint64_t length_ = 0;  ///< bytes of the open SysEx or run
  std::size_t kept_size_ = 0;  ///< of `kept_`
  Phase phase_ = Phase::stray;
  std::uint8_t running_ = 0;
  std::uint8_t readable_ =
      0;                      ///< how many bytes of printed text the run ends with, to `text_bytes`
  bool text_ = false;         ///< the run had that many in a row
  bool status_seen_ = false;  ///< below F8, ever
  bool could_run_ = false;    ///< the open message's status was the running status before it
  bool sysex_whole_ = false;  ///< `kept_` holds a complete one
  std::array<std::uint8_t, limits::sysex_kept_bytes> kept_{};
};

}  // namespace strumwright::midi
