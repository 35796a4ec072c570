// app/screens/parts/outside_text.cpp
#include "app/screens/parts/outside_text.h"

#include <cstdint>

#include "app/theme/fonts.h"

namespace strumwright::screens {

namespace {

constexpr std::uint32_t bad = 0xFFFFFFFF;

int length_of(unsigned char lead) {
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead < 0xE0) return 2;
  if (lead >= 0xE0 && lead < 0xF0) return 3;
  return lead >= 0xF0 && lead < 0xF5 ? 4 : 0;
}

/// Takes one character off the front. Source: RFC 3629, section 4.
std::uint32_t take(std::string_view& text) {
  const auto lead = static_cast<unsigned char>(text[0]);
  const int length = length_of(lead);
  if (length == 0 || text.size() < static_cast<std::size_t>(length)) {
    text.remove_prefix(1);
    return bad;
  }
  std::uint32_t character = length == 1 ? lead : lead & (0x7FU >> static_cast<unsigned>(length));
  for (int i = 1; i < length; ++i) {
    const auto byte = static_cast<unsigned char>(text[static_cast<std::size_t>(i)]);
    if ((byte & 0xC0U) != 0x80U) {
      text.remove_prefix(static_cast<std::size_t>(i));
      return bad;
    }
    character = character << 6U | (byte & 0x3FU);
  }
  text.remove_prefix(static_cast<std::size_t>(length));
  const bool overlong = (length == 3 && character < 0x800) || (length == 4 && character < 0x10000);
  const bool surrogate = character >= 0xD800 && character < 0xE000;
  return overlong || surrogate || character > 0x10FFFF ? bad : character;
}

bool is_space(std::uint32_t c) {
  return c <= 0x20 || (c >= 0x7F && c <= 0xA0) || (c >= 0x2000 && c <= 0x200A) || c == 0x2028 ||
         c == 0x2029 || c == 0x202F || c == 0x3000;
}

/// Marks of direction and of no width. Source: Unicode Standard Annex 9, section 2, and the
/// characters of the property Default_Ignorable_Code_Point that port names may hold.
bool is_hidden(std::uint32_t c) {
  return c == 0xAD || c == 0x61C || (c >= 0x200B && c <= 0x200F) || (c >= 0x202A && c <= 0x202E) ||
         (c >= 0x2060 && c <= 0x206F) || (c >= 0xFE00 && c <= 0xFE0F) || c == 0xFEFF ||
         (c >= 0xE0000 && c <= 0xE0FFF);
}

}  // namespace

std::string outside_text(std::string_view text, std::size_t most) {
  std::string safe;
  std::size_t count = 0;
  while (!text.empty()) {
    const auto rest = text;
    const auto c = take(text);
    if (c != bad && is_hidden(c)) continue;
    const bool space = c != bad && is_space(c);
    if (space && (safe.empty() || safe.back() == ' ')) continue;
    if (count == most) return safe + "…";
    ++count;
    if (space) {
      safe += ' ';
    } else if (c == bad || !theme::has_glyph(c)) {
      safe += '?';
    } else {
      safe.append(rest.substr(0, rest.size() - text.size()));
    }
  }
  while (!safe.empty() && safe.back() == ' ') safe.pop_back();
  return safe;
}

}  // namespace strumwright::screens
