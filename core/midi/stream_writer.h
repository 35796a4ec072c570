// core/midi/stream_writer.h
#pragma once

#include <cstdint>
#include <vector>

namespace strumwright::midi {

/// Serialises messages for one wire, with or without running status.
///
/// Running status is sent for channel messages only and forgotten after system common messages and
/// after FF, so that every receiver follows; other real-time bytes leave it in force.
/// Source: MIDI 1.0 Detailed Specification 4.2, Running Status, and App. A-2 rule 3.
/// Thread: its owner's only.
class StreamWriter {
 public:
  explicit StreamWriter(bool running_status) : running_status_(running_status) {}

  /// Appends a message with the data bytes that its status wants; those beyond are not read.
  /// `status` is defined and not F0: a SysEx is bytes of the caller's own, followed by `forget`.
  void append(std::uint8_t status, std::uint8_t data1, std::uint8_t data2,
              std::vector<std::uint8_t>& out);

  /// The next channel message carries its status byte.
  void forget() { last_ = 0; }

 private:
  bool running_status_;
  std::uint8_t last_ = 0;  ///< what the receiver has as running status; 0 if none
};

}  // namespace strumwright::midi
