// app/screens/parts/figures.cpp
#include "app/screens/parts/figures.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>

namespace strumwright::screens {

namespace {

constexpr const char* minus = "\u2212";

/// Decimal digits that do not depend on the locale.
std::string digits(double value, int decimals) {
  std::array<char, 64> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 std::chars_format::fixed, decimals);
  return {buffer.data(), end.ptr};
}

std::string two(std::int64_t number) { return (number < 10 ? "0" : "") + std::to_string(number); }

}  // namespace

std::string clock_text(std::int64_t t_ns) {
  const std::int64_t seconds = std::max<std::int64_t>(0, t_ns) / 1'000'000'000;
  const auto rest = two(seconds / 60 % 60) + ":" + two(seconds % 60);
  return seconds < 3600 ? rest : std::to_string(seconds / 3600) + ":" + rest;
}

std::string time_text(std::int64_t t_ns) {
  const std::int64_t tenth = std::max<std::int64_t>(0, t_ns) / 100'000'000 % 10;
  return clock_text(t_ns) + "." + std::to_string(tenth);
}

std::string number_text(double value, int decimals) {
  if (!std::isfinite(value) || std::fabs(value) >= 1e15) return "–";
  const auto text = digits(std::fabs(value), decimals);
  const bool zero = text.find_first_not_of("0.") == std::string::npos;
  return value < 0.0 && !zero ? minus + text : text;
}

std::string count_text(std::uint64_t count) {
  auto text = std::to_string(count);
  for (auto at = static_cast<std::ptrdiff_t>(text.size()) - 3; at > 0; at -= 3) {
    text.insert(static_cast<std::size_t>(at), ",");
  }
  return text;
}

std::string duration_text(std::int64_t ns) {
  const auto value = static_cast<double>(ns);
  const double size = std::fabs(value);
  if (size < 999'500.0) return number_text(value / 1e3, 0) + " µs";
  if (size < 99'950'000.0) return number_text(value / 1e6, 1) + " ms";
  if (size < 999'500'000.0) return number_text(value / 1e6, 0) + " ms";
  if (size < 59'950'000'000.0) return number_text(value / 1e9, 1) + " s";
  return number_text(value / 60e9, 0) + " min";
}

std::string counted(std::uint64_t count, std::string_view singular) {
  return count_text(count) + " " + std::string(singular) + (count == 1 ? "" : "s");
}

Ticks ticks_for(double most, int marks) {
  double power = std::pow(10.0, std::floor(std::log10(most / marks)));
  for (;; power *= 10.0) {
    for (const double factor : {1.0, 2.0, 5.0}) {
      const double step = factor * power;
      // A hair of slack: 0.3 / 0.1 is a little more than 3.
      const double count = std::ceil(most / step - 1e-9);
      if (count > marks) continue;
      const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(power) - 1e-9)));
      return {step, step * count, decimals};
    }
  }
}

}  // namespace strumwright::screens
