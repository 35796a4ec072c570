// tests/app/screens/parts/message_text_test.cpp
#include "app/screens/parts/message_text.h"

#include <doctest/doctest.h>

using namespace strumwright;
using midi::Code;
using midi::make_event;

namespace {

midi::Event message(std::uint8_t code, std::uint8_t data1 = 0, std::uint8_t data2 = 0,
                    bool running = false) {
  return make_event(0, code, data1, data2, running, 0);
}

}  // namespace

TEST_CASE("a message has a short label and its whole meaning in words") {
  struct Row {
    midi::Event event;
    std::uint64_t count;
    const char* label;
    const char* words;
  };
  const Row rows[] = {
      {message(0x90, 43, 80), 0, "G2", "note on, channel 1, G2, velocity 80"},
      {message(0x90, 43, 1), 0, "G2", "note on, channel 1, G2, velocity 1"},
      {message(0x9F, 43, 0), 0, "G2", "release by velocity zero, channel 16, G2"},
      {message(0x81, 61, 64), 0, "C♯4", "note off, channel 2, C♯4, velocity 64"},
      {message(0x90, 43, 80, true), 0, "G2",
       "note on, channel 1, G2, velocity 80; its status 90 was left out (running status)"},
      {message(0xB0, 64, 127), 0, "CC 64", "controller 64, channel 1, value 127"},
      {message(0xC0, 4), 0, "prog 5", "program 5, channel 1"},
      {message(0xE0, 0, 64), 0, "bend", "pitch bend, channel 1, 0"},
      {message(0xE0, 0, 0), 0, "bend", "pitch bend, channel 1, −8192"},
      {message(0xF0), 4, "SysEx", "SysEx of 4 bytes"},
      {message(0xF6), 0, "tune", "tune"},
      {message(0xFE), 0, "sensing", "real-time byte: sensing"},
      {message(midi::raw(Code::stray), 0x3B), 2, "stray",
       "2 data bytes while no status was in force: a receiver drops them"},
      {message(midi::raw(Code::stray), 0x3B), 1, "stray",
       "1 data byte while no status was in force: a receiver drops them"},
      {message(midi::raw(Code::cut_short), 0x90, 1), 0, "cut short",
       "message 90 broken off after 1 data byte"},
      {message(midi::raw(Code::undefined), 0xF4), 0, "undefined",
       "F4 is a status that MIDI does not define"},
  };
  for (const auto& row : rows) {
    INFO(row.words);
    CHECK(screens::message_label(row.event) == row.label);
    CHECK(screens::message_words(row.event, row.count) == row.words);
  }
}
