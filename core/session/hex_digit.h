// core/session/hex_digit.h
#pragma once

#include <array>
#include <cstdint>

namespace strumwright::session {

inline constexpr std::uint8_t no_hex_digit = 0xFF;

/// The value of each character as a hexadecimal digit of either case, else `no_hex_digit`.
inline constexpr auto hex_digits = [] {
  std::array<std::uint8_t, 256> values{};
  values.fill(no_hex_digit);
  for (std::uint8_t i = 0; i < 10; ++i) values['0' + i] = i;
  for (std::uint8_t i = 0; i < 6; ++i) {
    values['a' + i] = static_cast<std::uint8_t>(10 + i);
    values['A' + i] = static_cast<std::uint8_t>(10 + i);
  }
  return values;
}();

constexpr std::uint8_t hex_digit(char digit) {
  return hex_digits[static_cast<unsigned char>(digit)];
}

}  // namespace strumwright::session
