// app/io/sent_notes.h
#pragma once

#include <array>
#include <bitset>
#include <cstdint>
#include <span>
#include <vector>

namespace strumwright::io {

/// Keeps what went out of one output, so that it can be taken back.
class SentNotes {
 public:
  /// A whole message with its status byte; others are ignored.
  void push(std::span<const std::uint8_t> message);

  /// Messages that end all that was started: a note-off for each note that is down, the pedal up
  /// where we put it down, all-notes-off on each channel that we played. Forgets all of it.
  [[nodiscard]] std::vector<std::array<std::uint8_t, 3>> release();

 private:
  std::array<std::bitset<128>, 16> down_;
  std::bitset<16> pedal_;
  std::bitset<16> played_;
};

}  // namespace strumwright::io
