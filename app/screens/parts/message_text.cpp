// app/screens/parts/message_text.cpp
#include "app/screens/parts/message_text.h"

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "core/diagnosis/figures.h"
#include "core/midi/status.h"

namespace strumwright::screens {

using midi::Code;
using midi::Event;

namespace {

std::string channel_text(const Event& event) {
  const midi::Channel channel{static_cast<std::uint8_t>(event.code() & 0x0FU)};
  return ", channel " + std::to_string(channel.number());
}

/// Source: MIDI 1.0 Detailed Specification 4.2, tables V and VI.
const char* system_word(std::uint8_t status) {
  switch (status) {
    case 0xF0:
      return "SysEx";
    case 0xF1:
      return "time code";
    case 0xF2:
      return "song place";
    case 0xF3:
      return "song";
    case 0xF6:
      return "tune";
    case 0xF8:
      return "clock";
    case 0xFA:
      return "start";
    case 0xFB:
      return "continue";
    case 0xFC:
      return "stop";
    case 0xFE:
      return "sensing";
    case 0xFF:
      return "reset";
    default:
      return "undefined";
  }
}

std::string anomaly_label(const Event& event) {
  switch (static_cast<Code>(event.code())) {
    case Code::stray:
      return "stray";
    case Code::joined:
      return "joined";
    case Code::text:
      return "text";
    case Code::cut_short:
      return "cut short";
    case Code::undefined:
      return "undefined";
    case Code::sysex_open:
      return "SysEx, open";
    case Code::eox_alone:
      return "F7 alone";
    case Code::count:
      break;
  }
  return {};
}

std::string anomaly_words(const Event& event, std::uint64_t count) {
  switch (static_cast<Code>(event.code())) {
    case Code::stray:
      return counted(count, "data byte") + " while no status was in force: a receiver drops them";
    case Code::joined:
      return counted(count, "data byte") +
             " before the first status: listening began in mid-message";
    case Code::text:
      return counted(count, "byte") + " that read as printed text";
    case Code::cut_short:
      return "message " + diagnosis::hex_text(event.data1()) + " broken off after " +
             counted(event.data2(), "data byte");
    case Code::undefined:
      return diagnosis::hex_text(event.data1()) + " is a status that MIDI does not define";
    case Code::sysex_open:
      return "SysEx of " + counted(count, "byte") + " that no F7 ended";
    case Code::eox_alone:
      return "F7 that ends no SysEx";
    case Code::count:
      break;
  }
  return {};
}

std::string note_words(const Event& event) {
  const bool on = (event.code() & 0xF0U) == midi::note_on;
  const auto name = note_name(event.data1());
  const auto velocity = ", velocity " + std::to_string(event.data2());
  if (on && event.data2() == 0)
    return "release by velocity zero" + channel_text(event) + ", " + name;
  return (on ? "note on" : "note off") + channel_text(event) + ", " + name + velocity;
}

std::string channel_words(const Event& event) {
  const auto first = std::to_string(event.data1());
  switch (event.code() & 0xF0U) {
    case midi::note_off:
    case midi::note_on:
      return note_words(event);
    case midi::poly_pressure:
      return "key pressure" + channel_text(event) + ", " + note_name(event.data1()) + ", " +
             std::to_string(event.data2());
    case midi::control_change:
      return "controller " + first + channel_text(event) + ", value " +
             std::to_string(event.data2());
    case midi::program_change:
      return "program " + std::to_string(event.data1() + 1) + channel_text(event);
    case midi::channel_pressure:
      return "channel pressure" + channel_text(event) + ", " + first;
    default:
      return "pitch bend" + channel_text(event) + ", " +
             number_text(event.data2() * 128 + event.data1() - 8192, 0);
  }
}

std::string channel_label(const Event& event) {
  switch (event.code() & 0xF0U) {
    case midi::note_off:
    case midi::note_on:
      return note_name(event.data1());
    case midi::poly_pressure:
      return "pressure";
    case midi::control_change:
      return "CC " + std::to_string(event.data1());
    case midi::program_change:
      return "prog " + std::to_string(event.data1() + 1);
    case midi::channel_pressure:
      return "pressure";
    default:
      return "bend";
  }
}

}  // namespace

std::string message_label(const Event& event) {
  if (!event.is_message()) return anomaly_label(event);
  return midi::is_channel_status(event.code()) ? channel_label(event) : system_word(event.code());
}

std::string message_words(const Event& event, std::uint64_t count) {
  if (!event.is_message()) return anomaly_words(event, count);
  if (!midi::is_channel_status(event.code())) {
    const std::string word = system_word(event.code());
    if (event.code() == midi::sysex_start) return "SysEx of " + counted(count, "byte");
    return midi::is_real_time(event.code()) ? "real-time byte: " + word : word;
  }
  auto words = channel_words(event);
  if (event.running()) {
    words += "; its status " + diagnosis::hex_text(event.code()) + " was left out (running status)";
  }
  return words;
}

}  // namespace strumwright::screens
