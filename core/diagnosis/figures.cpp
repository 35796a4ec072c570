// core/diagnosis/figures.cpp
#include "core/diagnosis/figures.h"

namespace strumwright::diagnosis {
namespace {

constexpr std::uint64_t ns_a_ms = 1'000'000;
constexpr std::uint64_t ns_a_s = 1'000'000'000;

std::uint64_t magnitude(std::int64_t value) {
  const auto bits = static_cast<std::uint64_t>(value);
  return value < 0 ? ~bits + 1 : bits;  // right for the most negative value too
}

/// `value / unit` with that many decimals.
std::string decimal(std::uint64_t value, std::uint64_t unit, int decimals) {
  std::uint64_t scale = 1;
  for (int i = 0; i < decimals; ++i) scale *= 10;
  const std::uint64_t step = unit / scale;
  const std::uint64_t steps = value / step + (value % step >= step - value % step ? 1 : 0);
  std::string text = std::to_string(steps / scale) + '.';
  const std::string rest = std::to_string(steps % scale);
  text.append(static_cast<std::size_t>(decimals) - rest.size(), '0');
  return text + rest;
}

}  // namespace

std::string span_text(std::int64_t ns) {
  const std::uint64_t size = magnitude(ns);
  const std::string sign = ns < 0 ? "-" : "";
  // The limits are those at which rounding would reach the next form: never "10.00 ms".
  if (size < 9'995'000) return sign + decimal(size, ns_a_ms, 2) + " ms";
  if (size < 999'950'000) return sign + decimal(size, ns_a_ms, 1) + " ms";
  return sign + decimal(size, ns_a_s, 1) + " s";
}

std::string percent_text(std::int64_t per_mille) {
  const std::string sign = per_mille < 0 ? "-" : "";
  return sign + decimal(magnitude(per_mille), 10, 1) + " %";
}

std::string hex_text(std::uint8_t byte) {
  constexpr const char* digits = "0123456789ABCDEF";
  return {digits[byte >> 4U], digits[byte & 15U]};
}

std::string counted(std::uint64_t count, const char* word) {
  return std::to_string(count) + ' ' + word + (count == 1 ? "" : "s");
}

}  // namespace strumwright::diagnosis
