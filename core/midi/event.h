// core/midi/event.h
#pragma once

#include <cstdint>

namespace strumwright::midi {

/// What an `Event` says when it is no message. A message's code is its status byte (80 to FF).
enum class Code : std::uint8_t {
  stray = 1,   ///< run of data bytes with no status in force (`wire.stray-data`)
  joined = 2,  ///< such a run before the first status of the source (`wire.joined`)
  text = 3,    ///< such a run that reads as printed text (`wire.text`)
  count = 4,   ///< follows stray, joined, text, sysex_open and a complete SysEx: see `Event::count`
  cut_short = 5,   ///< a message whose data did not all come; data1 its status, data2 how many came
  undefined = 6,   ///< data1 is F4, F5, F9 or FD
  sysex_open = 7,  ///< a SysEx that another status ended
  eox_alone = 8,   ///< an F7 that ends no SysEx
};

constexpr std::uint8_t raw(Code code) { return static_cast<std::uint8_t>(code); }

/// One thing that the byte parser saw, 16 bytes, so that a million of them stay cheap.
///
/// A complete SysEx has code F0; an empty one too, with a count of 2.
/// Times: ns from the session's start; a message's is its first byte's.
struct Event {
  std::int64_t t_ns;
  std::uint64_t word;  ///< bits 0-7 code, 8-15 data1, 16-23 data2, 24 running, 25-63 byte index

  [[nodiscard]] constexpr std::uint8_t code() const { return static_cast<std::uint8_t>(word); }
  [[nodiscard]] constexpr std::uint8_t data1() const {
    return static_cast<std::uint8_t>(word >> 8U);
  }
  [[nodiscard]] constexpr std::uint8_t data2() const {
    return static_cast<std::uint8_t>(word >> 16U);
  }
  /// The message came without its own status byte; for cut_short: the cut message was one of these.
  [[nodiscard]] constexpr bool running() const { return (word >> 24U & 1U) != 0; }
  /// 0-based index of the first byte in its source's MIDI bytes.
  [[nodiscard]] constexpr std::uint64_t byte() const { return word >> 25U; }
  /// Of a `Code::count` event: how many bytes the event before it spans (real-time bytes inside not
  /// counted; a SysEx with its F0 and F7).
  [[nodiscard]] constexpr std::uint64_t count() const { return static_cast<std::uint64_t>(t_ns); }
  [[nodiscard]] constexpr bool is_message() const { return (word & 0x80U) != 0; }
  [[nodiscard]] constexpr bool is(Code other) const { return code() == raw(other); }
  friend constexpr bool operator==(const Event&, const Event&) = default;
};
static_assert(sizeof(Event) == 16);

constexpr Event make_event(std::int64_t t_ns, std::uint8_t code, std::uint8_t data1,
                           std::uint8_t data2, bool running, std::uint64_t byte) {
  return {t_ns, std::uint64_t{code} | std::uint64_t{data1} << 8U | std::uint64_t{data2} << 16U |
                    std::uint64_t{running} << 24U | byte << 25U};
}

}  // namespace strumwright::midi
