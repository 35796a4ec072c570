// app/io/sent_notes.cpp
#include "app/io/sent_notes.h"

#include "core/midi/status.h"

namespace strumwright::io {

namespace {

// Source: MIDI 1.0 Detailed Specification, tables III and IV.
constexpr std::uint8_t damper_pedal = 64;
constexpr std::uint8_t all_sound_off = 120;
constexpr std::uint8_t all_notes_off = 123;
/// Release velocity of a device that has none. Source: MIDI 1.0 Detailed Specification, Note Off.
constexpr std::uint8_t middle_velocity = 64;

}  // namespace

void SentNotes::push(std::span<const std::uint8_t> message) {
  if (message.size() != 3) return;
  const std::uint8_t kind = message[0] & 0xF0U;
  const std::uint8_t channel = message[0] & 0x0FU;
  const std::uint8_t number = message[1] & 0x7FU;
  if (kind == midi::note_on && message[2] > 0) {
    down_[channel].set(number);
    played_.set(channel);
  } else if (kind == midi::note_on || kind == midi::note_off) {
    down_[channel].reset(number);
  } else if (kind == midi::control_change && number == damper_pedal) {
    pedal_.set(channel, message[2] >= 64);
  } else if (kind == midi::control_change && (number == all_sound_off || number >= all_notes_off)) {
    down_[channel].reset();
  }
}

std::vector<std::array<std::uint8_t, 3>> SentNotes::release() {
  std::vector<std::array<std::uint8_t, 3>> messages;
  for (std::uint8_t channel = 0; channel < 16; ++channel) {
    const auto status = [channel](std::uint8_t kind) {
      return static_cast<std::uint8_t>(kind | channel);
    };
    for (std::uint8_t note = 0; note < 128; ++note) {
      if (down_[channel][note]) {
        messages.push_back({status(midi::note_off), note, middle_velocity});
      }
    }
    if (pedal_[channel]) messages.push_back({status(midi::control_change), damper_pedal, 0});
    if (played_[channel]) messages.push_back({status(midi::control_change), all_notes_off, 0});
  }
  *this = SentNotes();
  return messages;
}

}  // namespace strumwright::io
