// app/screens/finding_book.cpp
#include "app/screens/finding_book.h"

#include <algorithm>

namespace strumwright::screens {

using diagnosis::Finding;
using diagnosis::Rule;

namespace {

constexpr std::size_t most_late = 20'000;

/// One number for a note that started then: times fit into 53 bits for a hundred days.
std::uint64_t start_key(std::uint8_t channel_index, std::uint8_t note, std::int64_t start_ns) {
  return static_cast<std::uint64_t>(start_ns) << 11U | std::uint64_t{channel_index} << 7U | note;
}

}  // namespace

void FindingBook::read(const engine::History& history, const engine::Now& now,
                       const std::optional<Finding>& pinned) {
  const auto pin = pinned ? std::optional(group_key(*pinned)) : std::nullopt;
  const bool more = history.findings.end() != next_;
  if (more) {
    const auto view = history.findings.view();
    for (auto i = std::max(next_, view.first()); i < view.end(); ++i) take(view[i], i);
    next_ = view.end();
  }
  if (!more && now.version == ordered_version_ && pin == ordered_pin_) return;
  ordered_version_ = now.version;
  ordered_pin_ = pin;
  order_groups(now, pinned);
}

void FindingBook::take(const Finding& finding, std::uint64_t index) {
  auto& kind = kinds_[group_key(finding)];
  kind.newest = finding;
  kind.newest_index = index;
  ++kind.count;
  take_hanging(finding);
  if (finding.decided_ns - finding.t_ns <= late_ns) return;
  const std::pair entry(finding.t_ns, index);
  late_.insert(std::upper_bound(late_.begin(), late_.end(), entry), entry);
  if (late_.size() > most_late) late_.pop_front();
}

void FindingBook::take_hanging(const Finding& finding) {
  const auto channel = static_cast<std::uint8_t>(finding.channel ? *finding.channel - 1 : 0);
  switch (finding.rule) {
    case Rule::note_stuck:
      if (finding.note) add_hanging(channel, *finding.note, finding.t_ns);
      return;
    case Rule::note_swapped_off:
    case Rule::note_channel_crossed:
      if (!finding.other) return;
      return add_hanging(finding.other->channel.index, finding.other->number, finding.other_ns);
    default:
      return;
  }
}

void FindingBook::add_hanging(std::uint8_t channel_index, std::uint8_t note,
                              std::int64_t start_ns) {
  const auto key = start_key(channel_index, note, start_ns);
  if (!hanging_.insert(key).second) return;
  hanging_order_.push_back(key);
  if (hanging_order_.size() <= most_hanging) return;
  hanging_.erase(hanging_order_.front());
  hanging_order_.pop_front();
}

void FindingBook::order_groups(const engine::Now& now, const std::optional<Finding>& pinned) {
  std::vector<const Kind*> order;
  order.reserve(kinds_.size());
  for (const auto& [key, kind] : kinds_) order.push_back(&kind);
  std::sort(order.begin(), order.end(),
            [](const Kind* a, const Kind* b) { return a->newest_index > b->newest_index; });
  std::vector<Finding> newest;
  newest.reserve(order.size());
  for (const auto* kind : order) newest.push_back(kind->newest);
  groups_ = group_findings(newest, now, pinned);
  for (auto& group : groups_) group.count = kinds_.at(group_key(group.newest)).count;
}

std::vector<std::uint64_t> FindingBook::between(
    const decltype(engine::History::findings)::View& view, std::int64_t from_ns,
    std::int64_t to_ns) const {
  std::vector<std::uint64_t> found;
  const auto fits = [&](std::uint64_t i) {
    return view[i].t_ns >= from_ns && view[i].t_ns <= to_ns;
  };
  for (auto i = view.at_or_after(from_ns); i < view.end(); ++i) {
    if (view[i].decided_ns > to_ns + 2 * late_ns) break;
    if (fits(i) && view[i].decided_ns - view[i].t_ns <= late_ns) found.push_back(i);
  }
  auto late = std::lower_bound(late_.begin(), late_.end(), std::pair(from_ns, std::uint64_t{0}));
  for (; late != late_.end() && late->first <= to_ns; ++late) {
    if (late->second >= view.first() && late->second < view.end()) found.push_back(late->second);
  }
  return found;
}

bool FindingBook::hangs(std::uint8_t channel_index, std::uint8_t note,
                        std::int64_t start_ns) const {
  return hanging_.contains(start_key(channel_index, note, start_ns));
}

std::optional<Finding> FindingBook::neighbour(const engine::History& history,
                                              const Finding& finding, int step) {
  const auto view = history.findings.view();
  const auto key = group_key(finding);
  const Finding* best = nullptr;
  for (auto i = view.first(); i < view.end(); ++i) {
    const Finding& other = view[i];
    if (group_key(other) != key) continue;
    const bool beyond = step < 0 ? other.t_ns < finding.t_ns : other.t_ns > finding.t_ns;
    const bool nearer =
        best == nullptr || (step < 0 ? other.t_ns > best->t_ns : other.t_ns < best->t_ns);
    if (beyond && nearer) best = &other;
  }
  return best == nullptr ? std::nullopt : std::optional(*best);
}

std::uint64_t FindingBook::count(Rule rule) const {
  std::uint64_t sum = 0;
  for (const auto& [key, kind] : kinds_) {
    if (kind.newest.rule == rule) sum += kind.count;
  }
  return sum;
}

}  // namespace strumwright::screens
