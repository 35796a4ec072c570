// core/notes/ledger.cpp
#include "core/notes/ledger.h"

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
  const midi::Channel channel{static_cast<std::uint8_t>(code & 0x0FU)};
  const NoteKey key{channel, message.data1()};
  switch (code & 0xF0U) {
    case midi::note_on:
      if (message.data2() != 0) {
        start(message, key, facts);
      } else {
        release(message, key, facts);
      }
      break;
    case midi::note_off:
      release(message, key, facts);
      break;
    case midi::control_change:
      control(message, channel, facts);
      break;
    default:
      break;
  }
}

void Ledger::start(const midi::Event& message, NoteKey key, std::vector<NoteFact>& facts) {
  auto& channel = channels_[key.channel.index];
  const bool again = channel.down.has(key.number);
  ++starts_;
  if (!again) {
    channel.down.add(key.number);
    channel.pedal.remove(key.number);
    if (key.channel.index != drum_channel && pitch_owners_[key.number]++ == 0) {
      pitches_.add(key.number);
    }
  }
  channel.since_ns[key.number] = message.t_ns;
  channel.velocity[key.number] = message.data2();
  facts.push_back({.what = NoteFact::What::start,
                   .key = key,
                   .velocity = message.data2(),
                   .again = again,
                   .t_ns = message.t_ns,
                   .byte = message.byte()});
}

void Ledger::release(const midi::Event& message, NoteKey key, std::vector<NoteFact>& facts) {
  auto& channel = channels_[key.channel.index];
  const bool by_zero = (message.code() & 0xF0U) == midi::note_on;
  const bool was_down = channel.down.has(key.number);
  ++releases_;
  if (by_zero) ++zero_releases_;
  NoteFact fact{.what = was_down ? NoteFact::What::end : NoteFact::What::orphan,
                .how = by_zero ? Ending::velocity_zero : Ending::note_off,
                .key = key,
                .velocity = message.data2(),
                .t_ns = message.t_ns,
                .byte = message.byte()};
  if (was_down) {
    fact.to_pedal = channel.pedal_pressed;
    fact.start_ns = channel.since_ns[key.number];
    take_down(key);
    if (fact.to_pedal) channel.pedal.add(key.number);
  }
  facts.push_back(fact);
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
  const NoteMask ending = channel.down;
  ending.for_each([&](std::uint8_t number) {
    NoteFact fact = as;
    fact.key.number = number;
    fact.start_ns = channel.since_ns[number];
    take_down(fact.key);
    facts.push_back(fact);
  });
}

void Ledger::take_down(NoteKey key) {
  channels_[key.channel.index].down.remove(key.number);
  if (key.channel.index != drum_channel && --pitch_owners_[key.number] == 0) {
    pitches_.remove(key.number);
  }
}

std::vector<HeldNote> Ledger::held() const { return notes_in(&ChannelState::down); }

std::vector<HeldNote> Ledger::pedal() const { return notes_in(&ChannelState::pedal); }

std::vector<HeldNote> Ledger::notes_in(NoteMask ChannelState::*set) const {
  std::vector<HeldNote> found;
  for (std::uint8_t index = 0; index < channel_count; ++index) {
    const auto& channel = channels_[index];
    (channel.*set).for_each([&](std::uint8_t number) {
      found.push_back({{{index}, number}, channel.velocity[number], channel.since_ns[number]});
    });
  }
  return found;
}

}  // namespace strumwright::notes
