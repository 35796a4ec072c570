// core/wire/rate_guess.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

namespace strumwright::wire {

/// The bytes read at 31,250 baud fit a sender of another rate.
struct RateClaim {
  double baud = 0;
  double margin = 0;        ///< nats a byte over the best explanation that is no other rate
  std::uint64_t bytes = 0;  ///< how many the claim is made from
};

/// Judges from the first bytes of a raw serial source whether its sender runs at another rate than
/// 31,250 baud (rule `wire.wrong-rate`).
///
/// Looks at 64, 128, 256 and 512 bytes and is silent afterwards. What a receiver reads of typical
/// notes at 1,200 to 250,000 baud is computed once from the bits of the line (some 30 ms, only when
/// bytes came that MIDI does not allow). The bytes' likelihood under it is compared with that of
/// notes at the right rate with the statuses and velocities that fit best, of other messages,
/// printed text, line noise, one value over and over, and anything at all.
/// Never claimed: bytes of which less than a twentieth is against the standard. Not to be seen:
/// 1,200 and 2,400 baud read as zeros or nothing, 4,800 as one value if bad frames are dropped.
/// A copyable value of bounded memory; knows no clock. Thread: its owner's only.
class RateGuess {
 public:
  /// Takes the bytes in order, framing errors kept or dropped; the claim is made once.
  std::optional<RateClaim> push(std::span<const std::uint8_t> bytes);

 private:
  void judge_legality(std::uint8_t byte);
  void take_data();
  [[nodiscard]] std::optional<RateClaim> look() const;

  std::array<std::uint16_t, 256> counts_{};
  std::uint64_t total_ = 0;
  std::uint64_t illegal_ = 0;  ///< bytes that MIDI does not allow where they came
  std::uint8_t status_ = 0;    ///< in force; F0 inside SysEx; 0 if none
  int missing_ = 0;            ///< data bytes that the message in force still takes
  bool open_ = false;          ///< a message has begun and is not complete
  bool done_ = false;
};

}  // namespace strumwright::wire
