// core/session/capture_line.cpp
#include "core/session/capture_line.h"

#include <array>
#include <bit>
#include <cstring>

#include "core/limits.h"
#include "core/session/hex_digit.h"

namespace strumwright::session {
namespace {

// Digits are read eight at a time, the first in the lowest byte of a word: a third of the work of
// one by one.

constexpr std::uint64_t every(std::uint64_t byte) { return byte * 0x0101010101010101U; }

std::uint64_t load_8(const char* at) {
  std::uint64_t word = 0;
  std::memcpy(&word, at, sizeof word);
  return std::endian::native == std::endian::little ? word : __builtin_bswap64(word);
}

/// Digits become their values.
std::uint64_t load_digits(const char* at) { return load_8(at) ^ every('0'); }

/// The high bit of each byte that is no digit's value, but for what follows such a byte: 0x76
/// carries 10 and more into it.
constexpr std::uint64_t no_digits(std::uint64_t values) {
  return (values | (values + every(0x76))) & every(0x80);
}

/// The number of eight digits: neighbours are joined to pairs, fours, eights.
constexpr std::uint64_t to_number(std::uint64_t values) {
  values = (values * 10 + (values >> 8U)) & 0x00FF00FF00FF00FFU;
  values = (values * 100 + (values >> 16U)) & 0x0000FFFF0000FFFFU;
  return (values * 10'000 + (values >> 32U)) & 0xFFFFFFFFU;
}

/// Whether `word` stands at `at`, which then moves behind it.
template <std::size_t size>
bool skip(const char*& at, const char (&word)[size]) {
  if (std::memcmp(at, word, size - 1) != 0) return false;
  at += size - 1;
  return true;
}

// What is seldom needed stays out of line, or its variables would push those of the loop out of the
// registers.

/// A number of at most 15 digits, without leading zeros, which JSON forbids; the place behind it,
/// or none.
[[gnu::noinline]] const char* take_number(const char* at, std::uint64_t& number) {
  constexpr int most_digits = 15;
  const char* const first = at;
  number = 0;
  for (; *at >= '0' && *at <= '9'; ++at) {
    if (at - first == most_digits) return nullptr;
    number = number * 10 + static_cast<std::uint64_t>(*at - '0');
  }
  return at != first && (*first != '0' || at - first == 1) ? at : nullptr;
}

void skip_space(const char*& at) {
  while (*at == ' ' || *at == '\t' || *at == '\r') ++at;
}

bool skip_colon(const char*& at) {
  skip_space(at);
  if (*at++ != ':') return false;
  skip_space(at);
  return true;
}

/// Digits in pairs, as characters of a pair give them; more than 0xFF for what is no pair.
constexpr auto high_digits = [] {
  std::array<std::uint16_t, 256> values{};
  for (std::size_t i = 0; i < 256; ++i) {
    values[i] = static_cast<std::uint16_t>(hex_digits[i] > 0xF ? 0x100 : hex_digits[i] << 4U);
  }
  return values;
}();
constexpr auto low_digits = [] {
  std::array<std::uint16_t, 256> values{};
  for (std::size_t i = 0; i < 256; ++i) values[i] = hex_digits[i] > 0xF ? 0x100 : hex_digits[i];
  return values;
}();

/// Pairs of hex digits up to something else; the place of that.
const char* take_hex(const char* at, std::uint8_t*& next) {
  for (;; at += 2) {
    const unsigned byte = unsigned{high_digits[static_cast<unsigned char>(at[0])]} |
                          low_digits[static_cast<unsigned char>(at[1])];
    if (byte > 0xFF) return at;
    *next++ = static_cast<std::uint8_t>(byte);
  }
}

bool take_number(const char*& at, std::uint64_t most, std::uint64_t& number) {
  const char* end = take_number(at, number);
  if (end == nullptr || number > most) return false;
  at = end;
  return true;
}

/// Bytes in quotes.
bool take_bytes(const char*& at, std::uint8_t* space, Entry& entry) {
  if (*at != '"') return false;
  std::uint8_t* end = space;
  at = take_hex(at + 1, end);
  entry.bytes = {space, end};
  return *at++ == '"';
}

/// One member of a chunk in any spacing; `seen` has a bit for each key, which may come once.
bool take_member(const char*& at, std::uint8_t* space, Entry& entry, unsigned& seen) {
  unsigned key = 0;
  bool taken = false;
  std::uint64_t number = 0;
  if (skip(at, "\"t\"")) {
    key = 1;
    taken = skip_colon(at) && take_number(at, latest_ns, number);
    entry.t_ns = static_cast<std::int64_t>(number);
  } else if (skip(at, "\"hex\"")) {
    key = 2;
    taken = skip_colon(at) && take_bytes(at, space, entry);
  } else if (skip(at, "\"src\"")) {
    key = 4;
    taken = skip_colon(at) && take_number(at, limits::sources, number);
    entry.src = static_cast<std::uint16_t>(number);
  } else if (skip(at, "\"dir\"")) {
    key = 8;
    taken = skip_colon(at) && skip(at, "\"out\"");
    entry.out = true;
  }
  const bool first = (seen & key) == 0;
  seen |= key;
  return taken && first;
}

/// A line of a chunk in any shape; the place behind its line feed, or none.
[[gnu::noinline]] const char* take_reshaped(const char* at, std::uint8_t* space, Entry& entry) {
  unsigned seen = 0;
  entry.src = 0;
  entry.out = false;
  skip_space(at);
  if (*at != '{') return nullptr;
  do {
    ++at;  // the brace, or the comma between members
    skip_space(at);
    if (!take_member(at, space, entry, seen)) return nullptr;
    skip_space(at);
  } while (*at == ',');
  if (*at++ != '}' || (seen & 3U) != 3U) return nullptr;
  skip_space(at);
  return *at == '\n' ? at + 1 : nullptr;
}

/// The rest of a line as our writer has it, behind the bytes and their quote.
[[gnu::noinline]] const char* take_written_end(const char* at, Entry& entry) {
  std::uint64_t src = 0;
  if (skip(at, ",\"src\":") && !take_number(at, limits::sources, src)) return nullptr;
  entry.src = static_cast<std::uint16_t>(src);
  entry.out = skip(at, ",\"dir\":\"out\"");
  return skip(at, "}\n") ? at : nullptr;
}

}  // namespace

/// The time of a line if its first digits are those of the line before; the place behind it, or
/// none. Does not look for its end, so that the processor is ahead at what follows already.
inline const char* ChunkScanner::TimeGuess::take(const char* at, std::uint64_t& t_ns) const {
  const auto last_eight = load_digits(at + digits - 8);
  if (load_8(at) << shift != first || no_digits(last_eight) != 0 || at[digits] != ',') {
    return nullptr;
  }
  t_ns = above + to_number(last_eight);
  return at + digits;
}

inline const char* ChunkScanner::TimeGuess::learn(const char* at, std::uint64_t& t_ns) {
  const char* end = take_number(at, t_ns);
  *this = TimeGuess();
  if (end == nullptr || end - at <= 8) return end;
  digits = static_cast<unsigned>(end - at);
  shift = 8 * (16 - digits);
  first = load_8(at) << shift;
  above = t_ns - t_ns % 100'000'000;
  return end;
}

inline const char* ChunkScanner::take_written(const char* at, std::uint8_t* space, TimeGuess& guess,
                                              Entry& entry) {
  if (!skip(at, "{\"t\":")) return nullptr;
  std::uint64_t t_ns = 0;
  const char* end = guess.take(at, t_ns);
  if (end == nullptr) end = guess.learn(at, t_ns);
  if (end == nullptr || !skip(end, ",\"hex\":\"")) return nullptr;
  std::uint8_t* bytes_end = space;
  end = take_hex(end, bytes_end);
  entry.t_ns = static_cast<std::int64_t>(t_ns);
  entry.src = 0;
  entry.out = false;
  entry.bytes = {space, bytes_end};
  if (skip(end, "\"}\n")) return end;
  return *end == '"' ? take_written_end(end + 1, entry) : nullptr;
}

ChunkScanner::Taken ChunkScanner::take(std::string_view text, std::uint8_t* space,
                                       std::span<Entry> entries, std::int64_t last_ns,
                                       std::size_t sources) {
  Taken taken;
  const char* at = text.data();
  auto guess = guess_;
  for (auto& entry : entries) {
    const char* end = take_written(at, space, guess, entry);
    if (end == nullptr) end = take_reshaped(at, space, entry);
    if (end == nullptr || static_cast<std::size_t>(end - at) > limits::line_bytes + 1) break;
    if (entry.t_ns < last_ns || entry.src >= sources) break;
    last_ns = entry.t_ns;
    space += entry.bytes.size();
    at = end;
    ++taken.lines;
  }
  guess_ = guess;
  taken.characters = static_cast<std::size_t>(at - text.data());
  return taken;
}

}  // namespace strumwright::session
