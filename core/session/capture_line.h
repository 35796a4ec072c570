// core/session/capture_line.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace strumwright::session {

/// The latest time that a recording may name, about 126 years (ours): sums with it never overflow.
inline constexpr std::int64_t latest_ns = 4'000'000'000'000'000'000;

/// A chunk as its line has it.
struct ChunkLine {
  std::int64_t t_ns = 0;
  std::uint64_t src = 0;
  bool out = false;
  std::span<const std::uint8_t> bytes;
};

/// Reads lines of exactly the shape that our writer gives a chunk:
/// `{"t":123,"hex":"903c64"}`, after the bytes perhaps `,"src":1`, then perhaps `,"dir":"out"`, and
/// a line feed; the time of at most 15 digits (11 days).
///
/// A copyable value: remembers how many digits the last time had, as a guess, only for speed.
/// Allocates nothing.
class ChunkScanner {
 public:
  /// Room behind the decoded bytes that `take` may write to.
  static constexpr std::size_t slack = 4;

  /// Returns the length of the first line of `text` with its line feed; 0 for anything else, which
  /// a JSON reader must judge: what this takes, that takes too, and to the same. `text` is followed
  /// by a NUL and `LineReader::padding` readable bytes. Decodes into `space`, which has room for
  /// half a line and `slack`.
  [[nodiscard]] std::size_t take(std::string_view text, std::uint8_t* space, ChunkLine& chunk);

 private:
  unsigned digits_ = 1;
};

}  // namespace strumwright::session
