// core/midi/status.h
#pragma once

#include <cstdint>

namespace strumwright::midi {

// Source: MIDI 1.0 Detailed Specification 4.2, tables I to VII.
inline constexpr std::uint8_t note_off = 0x80;
inline constexpr std::uint8_t note_on = 0x90;
inline constexpr std::uint8_t poly_pressure = 0xA0;
inline constexpr std::uint8_t control_change = 0xB0;
inline constexpr std::uint8_t program_change = 0xC0;
inline constexpr std::uint8_t channel_pressure = 0xD0;
inline constexpr std::uint8_t pitch_bend = 0xE0;
inline constexpr std::uint8_t sysex_start = 0xF0;
inline constexpr std::uint8_t sysex_end = 0xF7;
inline constexpr std::uint8_t timing_clock = 0xF8;
inline constexpr std::uint8_t active_sensing = 0xFE;
inline constexpr std::uint8_t system_reset = 0xFF;

/// One byte on the wire: ten bits at 31,250 baud. Source: IEC 63035:2017, 4.1.
inline constexpr std::int64_t byte_ns = 320'000;

constexpr bool is_status(std::uint8_t byte) { return byte >= 0x80; }
constexpr bool is_real_time(std::uint8_t byte) { return byte >= 0xF8; }
/// 8n and 9n.
constexpr bool is_note_status(std::uint8_t byte) { return (byte & 0xE0U) == 0x80U; }
constexpr bool is_channel_status(std::uint8_t byte) { return byte >= 0x80 && byte < 0xF0; }
/// F4 F5 F9 FD, which the standard leaves undefined.
constexpr bool is_undefined(std::uint8_t byte) {
  return byte == 0xF4 || byte == 0xF5 || byte == 0xF9 || byte == 0xFD;
}

/// Data bytes that follow a defined status other than F0; 0 for the rest.
constexpr int data_bytes(std::uint8_t status) {
  if (status < 0x80 || status >= 0xF4) return 0;
  if (status < 0xF0) return (status & 0xE0U) == 0xC0U ? 1 : 2;
  if (status == 0xF2) return 2;
  return status == 0xF1 || status == 0xF3 ? 1 : 0;
}

/// A channel: `index` as on the wire (0 to 15), `number()` as people count (1 to 16).
struct Channel {
  std::uint8_t index = 0;
  [[nodiscard]] constexpr int number() const { return index + 1; }
  friend constexpr bool operator==(Channel, Channel) = default;
};

}  // namespace strumwright::midi
