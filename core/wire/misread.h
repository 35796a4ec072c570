// core/wire/misread.h
#pragma once

#include <cstdint>
#include <vector>

namespace strumwright::wire {

/// What a receiver does with a frame whose stop bit is low.
enum class BadFrames : std::uint8_t { dropped, kept };

/// Levels of a serial line, one entry a bit of the sender; 1 is idle. Eight data bits, least first,
/// one stop bit. Source: IEC 63035:2017, 4.1.
class SentBits {
 public:
  void send(std::uint8_t byte);
  void idle(std::size_t bits) { levels_.insert(levels_.end(), bits, 1); }
  [[nodiscard]] const std::vector<std::uint8_t>& levels() const { return levels_; }
  /// Levels that are no frames, for instance noise.
  void level(std::uint8_t level, std::size_t bits) { levels_.insert(levels_.end(), bits, level); }

 private:
  std::vector<std::uint8_t> levels_;
};

/// What a receiver reads whose bit lasts `sender_bits` bits of the sender.
///
/// It waits for a falling edge, drops a start that is high in its middle, samples in the middle of
/// each bit, and after a low stop bit waits for the line to be idle. It sees an edge `late` bits
/// late: a receiver that looks 16 times a bit, up to 1/16.
[[nodiscard]] std::vector<std::uint8_t> misread(const SentBits& line, double sender_bits,
                                                BadFrames bad_frames, double late = 0);

}  // namespace strumwright::wire
