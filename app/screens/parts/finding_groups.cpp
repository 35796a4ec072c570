// app/screens/parts/finding_groups.cpp
#include "app/screens/parts/finding_groups.h"

#include <algorithm>
#include <tuple>

namespace strumwright::screens {

namespace {

bool is_down(const engine::Now& now, std::uint8_t channel_index, std::uint8_t note) {
  const auto count = std::min<std::size_t>(now.held_count, engine::Now::most_held);
  return std::any_of(now.held.begin(), now.held.begin() + static_cast<std::ptrdiff_t>(count),
                     [&](const notes::HeldNote& held) {
                       return held.key.channel.index == channel_index && held.key.number == note;
                     });
}

bool goes_on(const diagnosis::Finding& finding, const engine::Now& now) {
  switch (finding.rule) {
    case diagnosis::Rule::note_stuck:
      return finding.channel && finding.note &&
             is_down(now, static_cast<std::uint8_t>(*finding.channel - 1), *finding.note);
    case diagnosis::Rule::note_swapped_off:
    case diagnosis::Rule::note_channel_crossed:
      return finding.other && is_down(now, finding.other->channel.index, finding.other->number);
    case diagnosis::Rule::port_gone:
      return now.link == engine::Link::gone;
    default:
      return false;
  }
}

}  // namespace

std::uint64_t group_key(const diagnosis::Finding& finding) {
  const std::uint64_t place = finding.string ? 0x100U + *finding.string
                              : finding.note ? 0x200U + *finding.note
                                             : 0U;
  return static_cast<std::uint64_t>(finding.rule) << 32U | std::uint64_t{finding.src} << 16U |
         place;
}

std::vector<FindingGroup> group_findings(std::span<const diagnosis::Finding> newest_first,
                                         const engine::Now& now,
                                         const std::optional<diagnosis::Finding>& pinned) {
  std::vector<FindingGroup> groups;
  std::vector<std::uint64_t> keys;
  for (const auto& finding : newest_first) {
    const auto key = group_key(finding);
    const auto found = std::find(keys.begin(), keys.end(), key);
    if (found == keys.end()) {
      keys.push_back(key);
      groups.push_back({finding, 1, goes_on(finding, now)});
      continue;
    }
    auto& group = groups[static_cast<std::size_t>(found - keys.begin())];
    ++group.count;
    group.going_on = group.going_on || goes_on(finding, now);
  }
  const auto rank = [&](const FindingGroup& group) {
    const bool is_pinned = pinned && group_key(*pinned) == group_key(group.newest);
    return std::tuple(!is_pinned, !group.going_on, group.newest.severity);
  };
  // Stable: groups stand newest first already.
  std::stable_sort(groups.begin(), groups.end(),
                   [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
  return groups;
}

}  // namespace strumwright::screens
