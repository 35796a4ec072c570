// core/publish/json_writer.cpp
#include "core/publish/json_writer.h"

#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>

namespace strumwright::publish {
namespace {

/// Length of the well-formed UTF-8 character at the start of `text`; 0 if it is none.
/// Source: RFC 3629, section 4.
std::size_t character_length(std::string_view text) {
  const auto at = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const auto follows = [&](std::size_t i, std::uint8_t low, std::uint8_t high) {
    return i < text.size() && at(i) >= low && at(i) <= high;
  };
  const std::uint8_t first = at(0);
  if (first < 0x80) return 1;
  if (first >= 0xC2 && first <= 0xDF) return follows(1, 0x80, 0xBF) ? 2 : 0;
  if (first >= 0xE0 && first <= 0xEF) {
    const std::uint8_t low = first == 0xE0 ? 0xA0 : 0x80;
    const std::uint8_t high = first == 0xED ? 0x9F : 0xBF;
    return follows(1, low, high) && follows(2, 0x80, 0xBF) ? 3 : 0;
  }
  if (first >= 0xF0 && first <= 0xF4) {
    const std::uint8_t low = first == 0xF0 ? 0x90 : 0x80;
    const std::uint8_t high = first == 0xF4 ? 0x8F : 0xBF;
    return follows(1, low, high) && follows(2, 0x80, 0xBF) && follows(3, 0x80, 0xBF) ? 4 : 0;
  }
  return 0;
}

void append_control(std::uint8_t character, std::string& to) {
  constexpr std::string_view digits = "0123456789abcdef";
  to += "\\u00";
  to += digits[character >> 4U];
  to += digits[character & 15U];
}

template <class Number>
void append_number(Number number, std::string& to) {
  std::array<char, 32> digits{};
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), number).ptr;
  to.append(digits.data(), end);
}

}  // namespace

void append_json_string(std::string_view text, std::string& to) {
  to += '"';
  while (!text.empty()) {
    const std::size_t length = character_length(text);
    const auto first = static_cast<std::uint8_t>(text[0]);
    if (length == 0) {
      to += "\xEF\xBF\xBD";  // U+FFFD for each byte that is no UTF-8
      text.remove_prefix(1);
      continue;
    }
    if (first == '"' || first == '\\') {
      to += '\\';
      to += text[0];
    } else if (first < 0x20 || first == 0x7F) {
      append_control(first, to);
    } else {
      to.append(text.substr(0, length));
    }
    text.remove_prefix(length);
  }
  to += '"';
}

void JsonWriter::key(std::string_view name) {
  separate();
  append_json_string(name, *text_);
  *text_ += ':';
  comma_ = false;
}

void JsonWriter::value(std::string_view text) {
  separate();
  append_json_string(text, *text_);
}

void JsonWriter::value(bool truth) { raw(truth ? "true" : "false"); }

void JsonWriter::value(double number) {
  if (!std::isfinite(number)) return null();
  separate();
  append_number(number, *text_);
}

void JsonWriter::null() { raw("null"); }

void JsonWriter::raw(std::string_view json) {
  separate();
  *text_ += json;
}

void JsonWriter::open(char bracket) {
  separate();
  *text_ += bracket;
  comma_ = false;
}

void JsonWriter::close(char bracket) {
  *text_ += bracket;
  comma_ = true;
}

void JsonWriter::separate() {
  if (comma_) *text_ += ',';
  comma_ = true;
}

void JsonWriter::whole(std::int64_t number) {
  separate();
  append_number(number, *text_);
}

void JsonWriter::natural(std::uint64_t number) {
  separate();
  append_number(number, *text_);
}

}  // namespace strumwright::publish
