// tests/core/midi/byte_window_test.cpp
#include "core/midi/byte_window.h"

#include <algorithm>
#include <array>
#include <cstdint>

#include <doctest/doctest.h>

#include "core/midi/status.h"

using namespace strumwright::midi;

namespace {

using Window = std::array<std::uint8_t, window_bytes>;

/// 64 of the 256 byte values, from `first` on.
Window values_from(unsigned first) {
  Window window{};
  for (std::size_t i = 0; i < window.size(); ++i) {
    window[i] = static_cast<std::uint8_t>(first + i);
  }
  return window;
}

bool bit(std::uint64_t mask, std::size_t k) { return (mask >> k & 1U) != 0; }

}  // namespace

TEST_CASE("the masks say of every byte value what the table of statuses says") {
  for (unsigned first = 0; first < 256; first += window_bytes) {
    const Window window = values_from(first);
    const WindowMasks masks = window_masks(window.data());
    for (std::size_t k = 0; k < window.size(); ++k) {
      const std::uint8_t byte = window[k];
      INFO("byte " << int{byte});
      const int wanted = data_bytes(byte);
      CHECK(bit(masks.data, k) == !is_status(byte));
      CHECK(bit(masks.two, k) == (is_channel_status(byte) && wanted == 2));
      CHECK(bit(masks.one, k) == (is_channel_status(byte) && wanted == 1));
      CHECK(bit(masks.common_two, k) == (byte == 0xF2));
      CHECK(bit(masks.common_one, k) == (byte == 0xF1 || byte == 0xF3));
      CHECK(bit(masks.through, k) == (is_real_time(byte) && byte != system_reset));
      CHECK(bit(masks.sysex, k) == (byte == sysex_start));
      CHECK(bit(masks.no_message, k) == (is_undefined(byte) || byte == sysex_end));
    }
  }
}

TEST_CASE("set bits are counted at both ends and between") {
  CHECK(bits_set(0) == 0);
  CHECK(bits_set(1) == 1);
  CHECK(bits_set(std::uint64_t{1} << 63U) == 1);
  CHECK(bits_set(0x8000000100000001U) == 3);
  CHECK(bits_set(~std::uint64_t{0}) == 64);
}

TEST_CASE("a segment goes up to what the masks cannot decide") {
  struct Row {
    const char* what;
    std::array<std::uint8_t, 6> bytes;  // and active sensing from there on
    bool torn, resumed;
    unsigned wanted;
    std::uint64_t firsts, whole, apart;  // of the first six bytes
    std::size_t stop;                    // 63: the window's end
  };
  const Row rows[] = {
      {"own status", {0x90, 1, 2, 0x80, 1, 2}, false, false, 0, 0b001001, 0b001001, 0, 63},
      {"running", {0x90, 1, 2, 3, 4, 0xF6}, false, false, 0, 0b101001, 0b101001, 0, 63},
      {"one by one", {0xC0, 1, 2, 3, 4, 0xF6}, false, false, 0, 0b111101, 0b111101, 0, 63},
      {"cut by a status",
       {0x90, 1, 0x80, 0xC0, 1, 0xFF},
       false,
       false,
       0,
       0b101101,
       0b101000,
       0,
       63},
      {"running from before", {1, 2, 3, 0x90, 1, 2}, false, false, 2, 0b001101, 0b001001, 0, 63},
      {"one by one from before", {1, 2, 3, 0x90, 1, 2}, false, false, 1, 0b001111, 0b001111, 0, 63},
      {"no status in force",
       {1, 2, 3, 0x90, 1, 2},
       false,
       false,
       0,
       0b001001,
       0b001000,
       0b000001,
       63},
      {"real-time inside", {0x90, 1, 2, 0x90, 0xF8, 1}, true, false, 0, 0b001001, 0b000001, 0, 3},
      {"real-time before the second", {0x90, 1, 0xF8, 2, 3, 4}, true, false, 0, 0b000001, 0, 0, 0},
      {"real-time inside, running",
       {1, 2, 3, 0xF8, 4, 5},
       true,
       false,
       2,
       0b000101,
       0b000001,
       0,
       2},
      {"SysEx", {0x90, 1, 2, 0xF0, 1, 0xF7}, false, false, 0, 0b101001, 0b100001, 0b001000, 63},
      {"real-time between", {0x90, 1, 2, 0xF8, 1, 2}, false, true, 0, 0b011001, 0b001001, 0, 4},
      {"after a common message",
       {0xF1, 1, 2, 3, 0xF6, 0xF6},
       false,
       false,
       0,
       0b110101,
       0b110001,
       0b000100,
       63},
  };
  for (const auto& row : rows) {
    INFO(row.what);
    Window window{};
    window.fill(active_sensing);
    std::copy(row.bytes.begin(), row.bytes.end(), window.begin());
    const WindowMasks masks = window_masks(window.data());
    const Segment segment = next_segment(masks, window_messages(masks), 0, row.wanted);
    const std::uint64_t before = 0x3FU & ((std::uint64_t{1} << row.stop) - 1);
    CHECK((segment.firsts & 0x3FU) == row.firsts);
    CHECK((segment.whole & 0x3FU) == row.whole);
    CHECK((segment.apart & before) == row.apart);
    CHECK((segment.stop >= 61 ? 63 : segment.stop) == row.stop);
    CHECK((segment.torn != 0) == row.torn);
    CHECK((segment.resumed != 0) == row.resumed);
  }
}
