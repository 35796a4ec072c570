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

/// Reads a line of exactly the shape that our writer gives a chunk:
/// `{"t":123,"hex":"903c64"}`, after that `,"src":1`, then `,"dir":"out"`, and a line feed.
///
/// Returns the length with its line feed; 0 for anything else, which a JSON reader must judge.
/// Never accepts what that would refuse. `text` is followed by a NUL and `LineReader::padding`
/// readable bytes; decodes into `space`, which has room for half a line. Allocates nothing.
[[nodiscard]] std::size_t scan_chunk_line(std::string_view text, std::uint8_t* space,
                                          ChunkLine& chunk);

}  // namespace strumwright::session
