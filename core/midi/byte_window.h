// core/midi/byte_window.h
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <utility>

#ifdef __SSE2__
#include <emmintrin.h>
#endif

/// 64 bytes of a MIDI stream at a time as masks: bit k stands for byte k of the window. Finding the
/// messages by arithmetic on masks needs no branch that random bytes make unforeseeable.
namespace strumwright::midi {

inline constexpr std::size_t window_bytes = 64;

#ifdef __SSE2__
/// Bit `bit` of 16 bytes.
template <int bit>
std::uint64_t plane_of_part(const std::uint8_t* part) {
  const __m128i bytes = _mm_loadu_si128(reinterpret_cast<const __m128i*>(part));
  return static_cast<unsigned>(_mm_movemask_epi8(_mm_slli_epi16(bytes, 7 - bit)));
}
inline constexpr std::size_t part_bytes = 16;
#else
/// Bit `bit` of 8 bytes.
template <int bit>
std::uint64_t plane_of_part(const std::uint8_t* part) {
  std::uint64_t bytes = 0;
  std::memcpy(&bytes, part, 8);
  if constexpr (std::endian::native == std::endian::big) bytes = __builtin_bswap64(bytes);
  // The product moves the bits, 8 apart, side by side into the highest byte.
  return (bytes >> bit & 0x0101010101010101U) * 0x0102040810204080U >> 56U;
}
inline constexpr std::size_t part_bytes = 8;
#endif

/// Bit `bit` of every byte of the window. A fold, because compilers leave a short loop a loop.
template <int bit>
std::uint64_t bit_plane(const std::uint8_t* window) {
  return [window]<std::size_t... part>(std::index_sequence<part...>) {
    return ((plane_of_part<bit>(window + part * part_bytes) << (part * part_bytes)) | ...);
  }
  (std::make_index_sequence<window_bytes / part_bytes>());
}

/// How many bits are set. Without the instruction for it, std::popcount is a call.
constexpr unsigned bits_set(std::uint64_t mask) {
  mask -= mask >> 1U & 0x5555555555555555U;
  mask = (mask & 0x3333333333333333U) + (mask >> 2U & 0x3333333333333333U);
  mask = (mask + (mask >> 4U)) & 0x0F0F0F0F0F0F0F0FU;
  return static_cast<unsigned>(mask * 0x0101010101010101U >> 56U);
}

/// Which bytes of a window are what.
struct WindowMasks {
  std::uint64_t data, two, one;          ///< data; channel statuses that want two or one of them
  std::uint64_t common_two, common_one;  ///< F2; F1 and F3
  std::uint64_t through;                 ///< real-time but FF: leaves an open message open
  std::uint64_t sysex;                   ///< F0
  std::uint64_t no_message;              ///< undefined statuses and F7
};

[[gnu::always_inline]] inline WindowMasks window_masks(const std::uint8_t* window) {
  const std::uint64_t status = bit_plane<7>(window);
  const std::uint64_t bit6 = bit_plane<6>(window);
  const std::uint64_t bit5 = bit_plane<5>(window);
  const std::uint64_t bit3 = bit_plane<3>(window);
  const std::uint64_t bit2 = bit_plane<2>(window);
  const std::uint64_t bit1 = bit_plane<1>(window);
  const std::uint64_t bit0 = bit_plane<0>(window);
  const std::uint64_t system = status & bit6 & bit5 & bit_plane<4>(window);
  const std::uint64_t one = status & bit6 & ~bit5;
  const std::uint64_t low_common = system & ~bit3 & ~bit2;  // F0 to F3
  return {.data = ~status,
          .two = status & ~one & ~system,
          .one = one,
          .common_two = low_common & bit1 & ~bit0,
          .common_one = low_common & bit0,
          .through = system & bit3 & ~(bit2 & bit1 & bit0),
          .sysex = low_common & ~bit1 & ~bit0,
          .no_message = system & ((~bit3 & bit2 & (~bit1 | bit0)) | (bit3 & ~bit1 & bit0))};
}

/// How the bytes of a window go together, if where it begins no message is open and no running
/// status in force.
struct WindowMessages {
  std::uint64_t firsts;  ///< first bytes of messages, whole or cut
  std::uint64_t cut;     ///< of these, those that are not whole
  std::uint64_t torn;    ///< of these, those that have a real-time byte inside
  std::uint64_t fresh;   ///< data bytes that continue what the masks cannot see
};

/// The runs of ones in `data` that begin at the bits of `firsts`.
constexpr std::uint64_t runs_from(std::uint64_t data, std::uint64_t firsts) {
  return data & ~(data + firsts);
}

[[gnu::always_inline]] inline WindowMessages window_messages(const WindowMasks& masks) {
  constexpr std::uint64_t even = 0x5555555555555555U;
  const std::uint64_t data = masks.data;
  const std::uint64_t after_two = data & masks.two << 1U;
  const std::uint64_t after_one = data & masks.one << 1U;
  // Under running status every second or every data byte begins a message.
  const std::uint64_t in_even = runs_from(data, after_two & even);
  const std::uint64_t in_odd = runs_from(data, after_two & ~even);
  const std::uint64_t running_two = ((in_even & even) | (in_odd & ~even)) & ~after_two;
  const std::uint64_t in_one = runs_from(data, after_one);
  const std::uint64_t running_one = in_one & ~after_one;
  // System common messages have their own data and no more.
  const std::uint64_t common_first = data & masks.common_two << 1U;
  const std::uint64_t common =
      common_first | (data & common_first << 1U) | (data & masks.common_one << 1U);
  const std::uint64_t in_sysex = runs_from(data, data & masks.sysex << 1U);
  const std::uint64_t two = masks.two | masks.common_two;
  const std::uint64_t one = masks.one | masks.common_one;
  const std::uint64_t follows = data >> 1U;
  return {.firsts = ~data | running_two | running_one,
          .cut = (two & ~(follows & data >> 2U)) | ((one | running_two) & ~follows),
          .torn = (masks.through >> 1U & (two | one | running_two)) |
                  (masks.through >> 2U & (after_two | common_first) >> 1U),
          .fresh = data & ~(in_even | in_odd | in_one | common | in_sysex)};
}

/// What stands from a place where no message is open up to where the masks do not suffice.
struct Segment {
  std::uint64_t firsts;  ///< first bytes, before `stop`, of messages, whole or cut, and of `apart`;
                         ///< and `stop` itself
  std::uint64_t whole;   ///< of these, those before `stop` of whole messages
  std::uint64_t apart;   ///< first bytes of runs without status; and F0
  std::uint64_t torn;    ///< `stop`, if a message begins there that has a real-time byte inside
  std::uint64_t resumed;  ///< `stop`, if data go on there after a real-time byte
  std::size_t stop;
};

/// Reads on at byte `at`, where under running status `wanted` data bytes make a message (0: none).
/// Stops at byte 61 or later at the latest, so that a message before it has its data in the window.
[[gnu::always_inline]] inline Segment next_segment(const WindowMasks& masks,
                                                   const WindowMessages& messages, std::size_t at,
                                                   unsigned wanted) {
  // Where messages begin in data under running status, by `wanted`; all of it; and those of two.
  constexpr std::uint64_t firsts_of[] = {0, ~std::uint64_t{0}, 0x5555555555555555U};
  constexpr std::uint64_t any[] = {0, ~std::uint64_t{0}, ~std::uint64_t{0}};
  constexpr std::uint64_t only_two[] = {0, 0, ~std::uint64_t{0}};
  const std::uint64_t at_bit = std::uint64_t{1} << at;
  const std::uint64_t run = runs_from(masks.data, masks.data & at_bit) & any[wanted];
  const std::uint64_t run_firsts = run & firsts_of[wanted] << (at & 1U);
  const std::uint64_t run_twos = run_firsts & only_two[wanted];
  const std::uint64_t live = -at_bit;
  const std::uint64_t torn = (messages.torn | (masks.through >> 1U & run_twos)) & live;
  const std::uint64_t fresh = messages.fresh & ~run & live;
  const std::uint64_t starts = fresh & ~(fresh << 1U);
  const std::uint64_t resumed = starts & masks.through << 1U & ~at_bit;
  const std::uint64_t apart = (starts & ~resumed) | (masks.sysex & live);
  const std::uint64_t firsts = ((messages.firsts | run_firsts) & live) | apart;
  const std::uint64_t last = (firsts & std::uint64_t{3} << 61U) | std::uint64_t{1} << 63U;
  const auto stop = static_cast<std::size_t>(std::countr_zero(torn | resumed | last));
  const std::uint64_t stop_bit = std::uint64_t{1} << stop;
  const std::uint64_t before = firsts & (stop_bit - 1);
  const std::uint64_t cut = messages.cut | (run_twos & ~(masks.data >> 1U));
  return {.firsts = before | stop_bit,
          .whole = before & ~(cut | apart),
          .apart = apart,
          .torn = torn & stop_bit,
          .resumed = resumed & stop_bit,
          .stop = stop};
}

}  // namespace strumwright::midi
