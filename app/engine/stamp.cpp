// app/engine/stamp.cpp
#include "app/engine/stamp.h"

#include <array>
#include <ctime>

namespace strumwright::engine {

namespace {

std::string stamp(std::int64_t unix_seconds, const char* format) {
  const auto seconds = static_cast<std::time_t>(unix_seconds);
  std::tm parts{};
  gmtime_r(&seconds, &parts);
  std::array<char, 32> text{};
  return {text.data(), std::strftime(text.data(), text.size(), format, &parts)};
}

bool is_plain(char letter) {
  return (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') ||
         (letter >= '0' && letter <= '9');
}

}  // namespace

std::string file_stamp(std::int64_t unix_seconds) { return stamp(unix_seconds, "%Y%m%d-%H%M%S"); }

std::string iso_stamp(std::int64_t unix_seconds) {
  return stamp(unix_seconds, "%Y-%m-%dT%H:%M:%SZ");
}

std::string file_word(std::string_view label) {
  constexpr std::size_t most = 40;
  std::string word;
  for (const char letter : label) {
    if (is_plain(letter)) {
      word += letter;
    } else if (!word.empty() && word.back() != '-') {
      word += '-';
    }
    if (word.size() == most) break;
  }
  while (!word.empty() && word.back() == '-') word.pop_back();
  return word;
}

}  // namespace strumwright::engine
