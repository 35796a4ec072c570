// core/session/capture_line.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "core/session/entry.h"

namespace strumwright::session {

/// The latest time that a recording may name, about 126 years (ours): sums with it never overflow.
inline constexpr std::int64_t latest_ns = 4'000'000'000'000'000'000;

/// Reads the lines of chunks without a JSON library: exactly as our writer has them,
/// `{"t":123,"hex":"903c64"}`, after the bytes perhaps `,"src":1`, then perhaps `,"dir":"out"`, and
/// a line feed; or, more slowly, the same members in any order and spacing.
///
/// A copyable value: remembers what the last time looked like, only for speed. Allocates nothing.
class ChunkScanner {
 public:
  /// What was taken: whole lines, one entry each.
  struct Taken {
    std::size_t lines = 0;
    std::size_t characters = 0;
  };

  /// Takes the first lines of `text`, as many as fit `entries`, up to one that a JSON reader must
  /// judge: what this takes, that takes too, and to the same. A time earlier than `last_ns` or than
  /// that of the line before, or a source from `sources` on, is such a line; so is a time of more
  /// than 15 digits (11 days). `text` is followed by a NUL and `LineReader::padding` readable
  /// bytes; `space` has room for half of it. Sets time, source, direction and bytes of `entries`,
  /// which are chunks.
  [[nodiscard]] Taken take(std::string_view text, std::uint8_t* space, std::span<Entry> entries,
                           std::int64_t last_ns, std::size_t sources);

 private:
  /// What the time of a line is likely to share with the one before: how many digits it has, and
  /// all but the last eight of them, which change ten times a second.
  struct TimeGuess {
    unsigned digits = 9;
    unsigned shift = 56;
    std::uint64_t first = UINT64_MAX;  ///< those digits at the top of a word; this one fits none
    std::uint64_t above = 0;           ///< what they amount to

    const char* take(const char* at, std::uint64_t& t_ns) const;
    const char* learn(const char* at, std::uint64_t& t_ns);
  };

  static const char* take_written(const char* at, std::uint8_t* space, TimeGuess& guess,
                                  Entry& entry);

  TimeGuess guess_;
};

}  // namespace strumwright::session
