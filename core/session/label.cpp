// core/session/label.cpp
#include "core/session/label.h"

#include "core/limits.h"

namespace strumwright::session {
namespace {

/// C0, DEL and C1 controls; line and paragraph separators; direction marks, embeddings, isolates.
bool is_unsafe(char32_t code) {
  if (code < 0x20 || (code >= 0x7F && code < 0xA0)) return true;
  return code == 0x200E || code == 0x200F || (code >= 0x2028 && code <= 0x202E) ||
         (code >= 0x2066 && code <= 0x2069);
}

std::size_t length_by_lead(unsigned char lead) {
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead < 0xE0) return 2;
  if (lead >= 0xE0 && lead < 0xF0) return 3;
  return lead >= 0xF0 && lead < 0xF5 ? 4 : 0;
}

/// Shorter forms, surrogates and numbers beyond U+10FFFF are not UTF-8.
bool fits_length(char32_t code, std::size_t bytes) {
  if (bytes == 3) return code >= 0x800 && (code < 0xD800 || code > 0xDFFF);
  return bytes != 4 || (code >= 0x10000 && code <= 0x10FFFF);
}

}  // namespace

Utf8Character first_character(std::string_view text) {
  const auto lead = static_cast<unsigned char>(text[0]);
  const std::size_t bytes = length_by_lead(lead);
  if (bytes == 1) return {1, lead, true};
  if (bytes == 0 || text.size() < bytes) return {};
  char32_t code = lead & (0xFFU >> (bytes + 1));
  for (const char next : text.substr(1, bytes - 1)) {
    const auto byte = static_cast<unsigned char>(next);
    if ((byte & 0xC0U) != 0x80U) return {};
    code = code << 6U | (byte & 0x3FU);
  }
  return fits_length(code, bytes) ? Utf8Character{bytes, code, true} : Utf8Character{};
}

std::string clean_label(std::string_view text) {
  std::string label;
  for (std::size_t count = 0; !text.empty() && count < limits::label_characters; ++count) {
    const auto character = first_character(text);
    if (!character.well_formed) {
      label += replacement_character;
    } else if (is_unsafe(character.code)) {
      label += ' ';
    } else {
      label += text.substr(0, character.bytes);
    }
    text.remove_prefix(character.bytes);
  }
  return label;
}

std::string base_name(std::string_view path) {
  return clean_label(path.substr(path.find_last_of("/\\") + 1));
}

}  // namespace strumwright::session
