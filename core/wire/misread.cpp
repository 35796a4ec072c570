// core/wire/misread.cpp
#include "core/wire/misread.h"

namespace strumwright::wire {
namespace {

/// The receiver's view of a line: it asks for levels at times in sender bits.
class Receiver {
 public:
  Receiver(const std::vector<std::uint8_t>& levels, double sender_bits, double late)
      : levels_(levels), bit_(sender_bits), middle_(0.5 + late) {}

  /// Moves on to the next falling edge; false at the end of the line.
  bool find_start() {
    while (edge_ < levels_.size() && !(levels_[edge_ - 1] == 1 && levels_[edge_] == 0)) ++edge_;
    return edge_ < levels_.size();
  }

  /// Level in the middle of bit `k` of the frame; 0 is the start bit.
  [[nodiscard]] std::uint8_t sample(int k) const {
    const auto index = edge_ + static_cast<std::size_t>((k + middle_) * bit_);
    return index < levels_.size() ? levels_[index] : std::uint8_t{1};
  }

  /// Goes on behind the middle of bit `k`.
  void skip(int k) { edge_ += static_cast<std::size_t>((k + middle_) * bit_) + 1; }

 private:
  const std::vector<std::uint8_t>& levels_;
  double bit_;
  double middle_;
  std::size_t edge_ = 1;
};

}  // namespace

void SentBits::send(std::uint8_t byte) {
  levels_.push_back(0);
  for (int bit = 0; bit < 8; ++bit) levels_.push_back(byte >> bit & 1);
  levels_.push_back(1);
}

std::vector<std::uint8_t> misread(const SentBits& line, double sender_bits, BadFrames bad_frames,
                                  double late) {
  std::vector<std::uint8_t> bytes;
  Receiver receiver(line.levels(), sender_bits, late);
  while (receiver.find_start()) {
    if (receiver.sample(0) == 1) {
      receiver.skip(0);
      continue;
    }
    unsigned byte = 0;
    for (int bit = 0; bit < 8; ++bit)
      byte |= static_cast<unsigned>(receiver.sample(bit + 1)) << bit;
    const bool good = receiver.sample(9) == 1;
    if (good || bad_frames == BadFrames::kept) bytes.push_back(static_cast<std::uint8_t>(byte));
    receiver.skip(9);
  }
  return bytes;
}

}  // namespace strumwright::wire
