// app/io/name_match.cpp
#include "app/io/name_match.h"

#include <algorithm>
#include <vector>

namespace strumwright::io {

namespace {

constexpr std::size_t most_listed = 6;  // ours: what still reads as one sentence

// ASCII only: other letters must be typed as they are.
char lower(char letter) {
  return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

std::string lowered(std::string_view text) {
  std::string result(text);
  std::transform(result.begin(), result.end(), result.begin(), lower);
  return result;
}

bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

/// The longest piece that both have, to list the likeliest names first.
std::size_t common_length(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1, 0);
  std::size_t longest = 0;
  for (const char letter : a) {
    for (std::size_t at = b.size(); at > 0; --at) {
      row[at] = b[at - 1] == letter ? row[at - 1] + 1 : 0;
      longest = std::max(longest, row[at]);
    }
  }
  return longest;
}

std::string listed(std::vector<std::string> names, const std::string& wanted) {
  std::stable_sort(names.begin(), names.end(), [&](const auto& a, const auto& b) {
    return common_length(lowered(a), wanted) > common_length(lowered(b), wanted);
  });
  std::string text;
  for (std::size_t i = 0; i < std::min(names.size(), most_listed); ++i) {
    text += (i == 0 ? "'" : ", '") + names[i] + "'";
  }
  return names.size() > most_listed ? text + " and more" : text;
}

}  // namespace

std::string_view lasting_name(std::string_view name) {
  std::size_t end = name.size();
  while (end > 0 && is_digit(name[end - 1])) --end;
  if (end == name.size() || end == 0 || name[end - 1] != ':') return name;
  const std::size_t colon = --end;
  while (end > 0 && is_digit(name[end - 1])) --end;
  if (end == colon || end == 0 || name[end - 1] != ' ') return name;
  return name.substr(0, end - 1);
}

Result<std::size_t> find_name(std::span<const std::string> names, std::string_view wanted,
                              std::string_view kind) {
  const std::string key = lowered(wanted);
  std::vector<std::size_t> containing;
  std::vector<std::string> near;
  for (std::size_t i = 0; i < names.size(); ++i) {
    const std::string name = lowered(names[i]);
    if (name == key || lasting_name(name) == key) return i;
    if (key.empty() || name.find(key) == std::string::npos) continue;
    containing.push_back(i);
    near.push_back(names[i]);
  }
  if (containing.size() == 1) return containing.front();
  const std::string quoted = "'" + std::string(wanted) + "'";
  if (!containing.empty()) {
    return Error{"several ports fit " + quoted + ": " + listed(near, key), std::string(kind),
                 "give more of the name"};
  }
  if (names.empty()) {
    return Error{"no port fits " + quoted + "; there is none at all", std::string(kind),
                 "plug the device in; `strumwright ports` says which services run"};
  }
  return Error{
      "no port fits " + quoted + "; there are " + listed({names.begin(), names.end()}, key),
      std::string(kind), "give one of these names, or a part that only one has"};
}

}  // namespace strumwright::io
