// core/diagnosis/figures.h
#pragma once

#include <cstdint>
#include <string>

namespace strumwright::diagnosis {

/// A span of time in the unit that a reader would choose, rounded half away from zero:
/// "0.96 ms" below 10 ms, "48.3 ms" below 1 s, "41.2 s" from there. Knows no locale.
[[nodiscard]] std::string span_text(std::int64_t ns);
/// A share given in 1/1000: "93.5 %".
[[nodiscard]] std::string percent_text(std::int64_t per_mille);
/// A byte as two hexadecimal digits: "9A".
[[nodiscard]] std::string hex_text(std::uint8_t byte);
/// "1 byte", "3 bytes": a count and its word, which takes a plain s.
[[nodiscard]] std::string counted(std::uint64_t count, const char* word);

}  // namespace strumwright::diagnosis
