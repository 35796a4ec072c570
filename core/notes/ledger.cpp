// core/notes/ledger.cpp
#include "core/notes/ledger.h"

#include <utility>

namespace strumwright::notes {
namespace {

// Source of controllers and of what they end: MIDI 1.0 Detailed Specification 4.2, tables III
// (controllers) and IV (channel mode messages).
constexpr std::uint8_t pedal_controller = 64;
constexpr std::uint8_t pedal_pressed_from = 64;
constexpr std::uint8_t all_sound_off = 120;
constexpr std::uint8_t reset_controllers = 121;
constexpr std::uint8_t all_notes_off = 123;

constexpr std::uint8_t drum_channel = 9;  // as on the wire; common practice, no source

constexpr bool ends_notes(std::uint8_t controller) {
  return controller == all_sound_off || controller >= all_notes_off;
}

}  // namespace

void Ledger::push(const midi::Event& message, std::vector<NoteFact>& facts) {
  const std::uint8_t code = message.code();
  if (midi::is_note_status(code)) {
    facts.push_back(is_start(message) ? start(message) : release(message));
  } else if ((code & 0xF0U) == midi::control_change) {
    control(message, {static_cast<std::uint8_t>(code & 0x0FU)}, facts);
  }
}

void Ledger::control(const midi::Event& message, midi::Channel channel,
                     std::vector<NoteFact>& facts) {
  const std::uint8_t controller = message.data1();
  auto& state = channels_[channel.index];
  if (controller == pedal_controller || controller == reset_controllers) {
    state.pedal_pressed = controller == pedal_controller && message.data2() >= pedal_pressed_from;
    if (!state.pedal_pressed) state.pedal = {};
    return;
  }
  if (!ends_notes(controller)) return;
  NoteFact fact{.what = NoteFact::What::mode_message,
                .how = Ending::mode_message,
                .key = {channel, controller},
                .t_ns = message.t_ns,
                .byte = message.byte()};
  facts.push_back(fact);
  fact.what = NoteFact::What::end;
  end_channel(fact, facts);
}

void Ledger::end_all(std::int64_t t_ns, Ending how, std::vector<NoteFact>& facts) {
  for (std::uint8_t index = 0; index < channel_count; ++index) {
    end_channel({.what = NoteFact::What::end, .how = how, .key = {{index}, 0}, .t_ns = t_ns},
                facts);
    channels_[index].pedal_pressed = false;
  }
}

void Ledger::end_channel(const NoteFact& as, std::vector<NoteFact>& facts) {
  auto& channel = channels_[as.key.channel.index];
  channel.pedal = {};
  const NoteMask ending = std::exchange(down_[as.key.channel.index], {});
  ending.for_each([&](std::uint8_t number) {
    NoteFact fact = as;
    fact.key.number = number;
    fact.start_ns = channel.since_ns[number];
    facts.push_back(fact);
  });
}

NoteMask Ledger::down_pitches() const {
  NoteMask pitches;
  for (std::size_t index = 0; index < drum_channel; ++index) pitches = pitches | down_[index];
  for (std::size_t index = drum_channel + 1; index < channel_count; ++index) {
    pitches = pitches | down_[index];
  }
  return pitches;
}

std::vector<HeldNote> Ledger::held() const {
  std::vector<HeldNote> found;
  for (std::uint8_t index = 0; index < channel_count; ++index) append(index, down_[index], found);
  return found;
}

std::vector<HeldNote> Ledger::pedal() const {
  std::vector<HeldNote> found;
  for (std::uint8_t index = 0; index < channel_count; ++index) {
    append(index, channels_[index].pedal, found);
  }
  return found;
}

void Ledger::append(std::uint8_t channel_index, const NoteMask& set,
                    std::vector<HeldNote>& found) const {
  const auto& channel = channels_[channel_index];
  set.for_each([&](std::uint8_t number) {
    found.push_back(
        {{{channel_index}, number}, channel.velocity[number], channel.since_ns[number]});
  });
}

}  // namespace strumwright::notes
