// core/session/label.h
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace strumwright::session {

/// A name or mark from outside as it may be shown: at most `limits::label_characters` characters,
/// control characters, line separators and marks of writing direction as spaces, what is not UTF-8
/// as U+FFFD. So it never breaks a layout, a terminal or a line of a document.
[[nodiscard]] std::string clean_label(std::string_view text);

/// The first character of `text`, which is not empty, as UTF-8 has it: how many bytes it takes and
/// whether it is well formed (if not: one byte). Source: Unicode 15, table 3-7.
struct Utf8Character {
  std::size_t bytes = 1;
  char32_t code = 0xFFFD;
  bool well_formed = false;
};
[[nodiscard]] Utf8Character first_character(std::string_view text);

/// What stands for bytes that are not UTF-8.
inline constexpr std::string_view replacement_character = "\xEF\xBF\xBD";

/// "evening.jsonl" of "/home/bench/evening.jsonl", cleaned.
[[nodiscard]] std::string base_name(std::string_view path);

}  // namespace strumwright::session
