// core/session/capture_line.cpp
#include "core/session/capture_line.h"

#include <cstring>

#include "core/limits.h"
#include "core/session/hex_digit.h"

namespace strumwright::session {
namespace {

constexpr int most_digits =
    18;  // any such number fits 64 bits; longer ones are for the JSON reader

/// Whether `word` stands at `at`, which then moves behind it.
template <std::size_t size>
bool take(const char*& at, const char (&word)[size]) {
  if (std::memcmp(at, word, size - 1) != 0) return false;
  at += size - 1;
  return true;
}

/// A number without sign, and without leading zeros, which JSON forbids.
bool take_number(const char*& at, std::uint64_t& number) {
  const char* first = at;
  std::uint64_t sum = 0;
  for (unsigned digit = 0; (digit = static_cast<unsigned char>(*at) - unsigned{'0'}) < 10; ++at) {
    if (at - first == most_digits) return false;
    sum = sum * 10 + digit;
  }
  number = sum;
  return at != first && (*first != '0' || at - first == 1);
}

/// Pairs of hexadecimal digits up to something else.
std::size_t take_hex(const char*& at, const char* most, std::uint8_t* space) {
  std::uint8_t* end = space;
  for (; at < most; at += 2) {
    const unsigned high = hex_digit(at[0]);
    const unsigned low = hex_digit(at[1]);
    if ((high | low) > 0xFU) break;
    *end++ = static_cast<std::uint8_t>(high << 4U | low);
  }
  return static_cast<std::size_t>(end - space);
}

}  // namespace

std::size_t scan_chunk_line(std::string_view text, std::uint8_t* space, ChunkLine& chunk) {
  const char* const first = text.data();
  const char* at = first;
  std::uint64_t t_ns = 0;
  if (!take(at, "{\"t\":") || !take_number(at, t_ns) || !take(at, ",\"hex\":\"")) return 0;
  const auto length = take_hex(at, first + limits::line_bytes, space);
  if (*at++ != '"') return 0;
  chunk = {static_cast<std::int64_t>(t_ns), 0, false, {space, length}};
  if (*at != '}') {
    if (take(at, ",\"src\":") && !take_number(at, chunk.src)) return 0;
    chunk.out = take(at, ",\"dir\":\"out\"");
  }
  if (!take(at, "}\n")) return 0;
  const auto taken = static_cast<std::size_t>(at - first);
  return taken <= text.size() && taken <= limits::line_bytes + 1 ? taken : 0;
}

}  // namespace strumwright::session
