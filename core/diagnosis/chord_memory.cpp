// core/diagnosis/chord_memory.cpp
#include "core/diagnosis/chord_memory.h"

#include <algorithm>
#include <iterator>

namespace strumwright::diagnosis {

void ChordMemory::settle(std::int64_t t_ns, harmony::Reading name) {
  if (!changes_.empty() && changes_.back().name == name) return;
  changes_.push_back({t_ns, name});
  if (changes_.size() > most_changes) changes_.pop_front();
}

std::optional<harmony::Reading> ChordMemory::in_force(std::int64_t t_ns) const {
  const auto later = std::upper_bound(
      changes_.begin(), changes_.end(), t_ns,
      [](std::int64_t time_ns, const Change& change) { return time_ns < change.t_ns; });
  if (later == changes_.begin()) return std::nullopt;
  return std::prev(later)->name;
}

}  // namespace strumwright::diagnosis
