// core/session/text_reading.h
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace strumwright::session {

enum class TextBase : std::uint8_t { hex, decimal };
enum class TextTime : std::uint8_t { none, s, ms, us };

/// One way to read a text of numbers as bytes, as `--as` can say it: `text-hex`, `text-dec`, and
/// with a first column of times `text-hex-s`, `text-hex-ms`, `text-hex-us`, `text-dec-s` and so on.
struct TextReading {
  TextBase base = TextBase::hex;
  TextTime time = TextTime::none;
  friend bool operator==(const TextReading&, const TextReading&) = default;
};

[[nodiscard]] std::optional<TextReading> text_reading_by_name(std::string_view as);
[[nodiscard]] std::string to_text(TextReading reading);

/// Every reading that there is.
[[nodiscard]] const std::vector<TextReading>& text_readings();

/// A line as one reading has it.
struct TextLine {
  std::int64_t t_ns = 0;  ///< 0 without a time column
  std::vector<std::uint8_t> bytes;
  friend bool operator==(const TextLine&, const TextLine&) = default;
};

/// What stops a line from being read.
struct TextProblem {
  std::string what;
  std::size_t column = 1;  ///< in bytes, from 1
};

/// Reads one line of a text under one reading into `line`, whose memory is used again.
///
/// Numbers stand apart by white space, comma, semicolon or colon; `#` begins a comment. A byte is
/// one or two hex digits, or decimal up to 255; `0x` makes any number hex; an even run of hex
/// digits is several bytes. A time is whole or has a decimal point (beyond ns it is cut off) and
/// may have its unit behind it, joined or apart: `12ms`, `0.5 s`; a unit must be that of the
/// reading. Says nothing and gives no bytes for a line without numbers.
[[nodiscard]] std::optional<TextProblem> read_text_line(std::string_view text, TextReading reading,
                                                        TextLine& line);

/// How the time of a line stands there, which limits how it can be read.
enum class TimeStyle : std::uint8_t { whole, point, s, ms, us };
[[nodiscard]] TimeStyle time_style(std::string_view text);

}  // namespace strumwright::session
