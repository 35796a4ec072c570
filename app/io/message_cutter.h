// app/io/message_cutter.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

namespace strumwright::io {

/// Cuts bytes that go out into whole messages, each with its status byte, as the MIDI services of
/// operating systems want them. What is no whole message (stray data, a message cut short) is given
/// as it is, so that faults sent on purpose still go out.
class MessageCutter {
 public:
  using Give = std::function<void(std::span<const std::uint8_t>)>;

  /// A SysEx beyond this is given in pieces (ours).
  static constexpr std::size_t longest_sysex = 65'536;

  void push(std::span<const std::uint8_t> bytes, const Give& give);

  /// Gives what is still open, as it is.
  void finish(const Give& give);

 private:
  void take_status(std::uint8_t byte, const Give& give);
  void take_data(std::uint8_t byte, const Give& give);

  std::array<std::uint8_t, 3> open_{};
  std::size_t have_ = 0;
  std::uint8_t running_ = 0;
  bool in_sysex_ = false;
  std::vector<std::uint8_t> sysex_;
};

}  // namespace strumwright::io
