// app/screens/focus.cpp
#include "app/screens/focus.h"

#include <algorithm>

namespace strumwright::screens {

std::string next_focus(std::span<const Target> targets, const std::string& current,
                       bool backwards) {
  if (targets.empty()) return {};
  const auto found = std::find_if(targets.begin(), targets.end(),
                                  [&](const Target& target) { return target.id == current; });
  const auto count = targets.size();
  if (found == targets.end()) return targets[backwards ? count - 1 : 0].id;
  const auto at = static_cast<std::size_t>(found - targets.begin());
  return targets[(at + (backwards ? count - 1 : 1)) % count].id;
}

}  // namespace strumwright::screens
