// app/screens/parts/keys.h
#pragma once

#include <span>

namespace strumwright::screens {

/// A key as screens know it: letters and digits by their upper-case ASCII code, the rest below.
/// By what is printed on the key in the user's layout, not by its place.
namespace key {
inline constexpr int left = 256;
inline constexpr int right = 257;
inline constexpr int up = 258;
inline constexpr int down = 259;
inline constexpr int enter = 260;
inline constexpr int escape = 261;
inline constexpr int space = 262;
inline constexpr int home = 263;
inline constexpr int end = 264;
inline constexpr int page_up = 265;
inline constexpr int page_down = 266;
inline constexpr int tab = 267;
inline constexpr int f1 = 268;
inline constexpr int f5 = 269;
inline constexpr int plus = 270;
inline constexpr int minus = 271;
}  // namespace key

struct KeyPress {
  int code = 0;
  bool control = false;
  bool shift = false;
};

/// How often `code` was pressed (or repeated) without Ctrl since the last frame.
[[nodiscard]] inline int presses(std::span<const KeyPress> keys, int code) {
  int count = 0;
  for (const auto& press : keys) count += press.code == code && !press.control;
  return count;
}

}  // namespace strumwright::screens
