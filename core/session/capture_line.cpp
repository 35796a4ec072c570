// core/session/capture_line.cpp
#include "core/session/capture_line.h"

#include <bit>
#include <cstring>

#include "core/limits.h"

namespace strumwright::session {
namespace {

// Eight characters at a time, the first in the lowest byte of a word: twice as fast as one by one.

constexpr std::uint64_t every(std::uint64_t byte) { return byte * 0x0101010101010101U; }

std::uint64_t load_8(const char* at) {
  std::uint64_t word = 0;
  std::memcpy(&word, at, sizeof word);
  return std::endian::native == std::endian::little ? word : __builtin_bswap64(word);
}

void store_4(std::uint32_t bytes, std::uint8_t* at) {
  if (std::endian::native != std::endian::little) bytes = __builtin_bswap32(bytes);
  std::memcpy(at, &bytes, sizeof bytes);
}

/// The high bit of each byte that lies from `low` to `high`, which are below 0x80.
constexpr std::uint64_t in_range(std::uint64_t word, std::uint64_t low, std::uint64_t high) {
  const std::uint64_t seven = word & every(0x7F);
  return (seven + every(0x80 - low)) & ~(seven + every(0x7F - high)) & ~word & every(0x80);
}

/// How many bytes have their high bit set before the first that has not.
constexpr unsigned leading(std::uint64_t flags) {
  return static_cast<unsigned>(std::countr_zero(~flags & every(0x80))) / 8;
}

/// The number of the first `count` (1 to 8) digits, given as their values: neighbours are joined to
/// pairs, fours, eights.
constexpr std::uint64_t to_number(std::uint64_t digits, unsigned count) {
  std::uint64_t sum = digits << (8 * (8 - count));
  sum = (sum * 10 + (sum >> 8U)) & 0x00FF00FF00FF00FFU;
  sum = (sum * 100 + (sum >> 16U)) & 0x0000FFFF0000FFFFU;
  return (sum * 10'000 + (sum >> 32U)) & 0xFFFFFFFFU;
}

/// Whether `word` stands at `at`, which then moves behind it.
template <std::size_t size>
bool skip(const char*& at, const char (&word)[size]) {
  if (std::memcmp(at, word, size - 1) != 0) return false;
  at += size - 1;
  return true;
}

constexpr std::uint64_t digit_flags(std::uint64_t word) { return in_range(word, '0', '9'); }

/// A number of at most 15 digits, without leading zeros, which JSON forbids.
bool take_number(const char*& at, std::uint64_t& number) {
  static constexpr std::uint64_t powers[] = {1,      10,      100,       1000,
                                             10'000, 100'000, 1'000'000, 10'000'000};
  const auto head = load_8(at);
  const unsigned count = leading(digit_flags(head));
  if (count == 0 || (*at == '0' && count > 1)) return false;
  number = to_number(head ^ every('0'), count);
  at += count;
  if (count < 8) return true;
  const auto tail = load_8(at);
  const unsigned more = leading(digit_flags(tail));
  if (more == 8) return false;
  if (more > 0) number = number * powers[more] + to_number(tail ^ every('0'), more);
  at += more;
  return true;
}

/// A number of `count` digits, if that is as many as there are. Does not wait to find its end, so
/// that the processor is ahead at the next word already.
bool take_guessed(const char*& at, unsigned count, std::uint64_t& number) {
  if (count < 9 || *at == '0') return false;
  const auto head = load_8(at) ^ every('0');
  const auto tail = load_8(at + count - 8) ^ every('0');
  // 0x76 carries 10 and more into the high bit.
  const auto no_digit = head | (head + every(0x76)) | tail | (tail + every(0x76));
  if ((no_digit & every(0x80)) != 0 || at[count] != ',') return false;
  number = to_number(head, count - 8) * 100'000'000 + to_number(tail, 8);
  at += count;
  return true;
}

/// Four bytes from eight hex digits.
constexpr std::uint32_t to_bytes(std::uint64_t digits) {
  const auto letters = (digits >> 6U) & every(0x01);
  const auto nibbles = (digits & every(0x0F)) + letters * 9;
  auto bytes = (nibbles << 4U | nibbles >> 8U) & 0x00FF00FF00FF00FFU;
  bytes = (bytes | bytes >> 8U) & 0x0000FFFF0000FFFFU;
  return static_cast<std::uint32_t>(bytes | bytes >> 16U);
}

constexpr std::uint64_t hex_flags(std::uint64_t word) {
  return in_range(word, '0', '9') | in_range(word | every(0x20), 'a', 'f');
}

/// Pairs of hex digits up to something else, four bytes a step; the last step may write too many.
std::size_t take_hex(const char*& at, const char* end, std::uint8_t* space) {
  std::uint8_t* next = space;
  for (unsigned count = 8; count == 8 && at < end;) {
    const auto digits = load_8(at);
    store_4(to_bytes(digits), next);
    count = leading(hex_flags(digits));
    next += count / 2;
    at += count & ~1U;
  }
  return static_cast<std::size_t>(next - space);
}

}  // namespace

std::size_t ChunkScanner::take(std::string_view text, std::uint8_t* space, ChunkLine& chunk) {
  const char* const first = text.data();
  const char* at = first;
  std::uint64_t t_ns = 0;
  if (!skip(at, "{\"t\":")) return 0;
  if (!take_guessed(at, digits_, t_ns)) {
    const char* const number = at;
    if (!take_number(at, t_ns)) return 0;
    digits_ = static_cast<unsigned>(at - number);
  }
  if (!skip(at, ",\"hex\":\"")) return 0;
  const auto length = take_hex(at, first + limits::line_bytes, space);
  if (*at++ != '"') return 0;
  chunk = {static_cast<std::int64_t>(t_ns), 0, false, {space, length}};
  if (*at != '}') {
    if (skip(at, ",\"src\":") && !take_number(at, chunk.src)) return 0;
    chunk.out = skip(at, ",\"dir\":\"out\"");
  }
  if (!skip(at, "}\n")) return 0;
  const auto taken = static_cast<std::size_t>(at - first);
  return taken <= text.size() && taken <= limits::line_bytes + 1 ? taken : 0;
}

}  // namespace strumwright::session
