// app/screens/finding_book.h
#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

#include "app/engine/history.h"
#include "app/screens/parts/finding_groups.h"

namespace strumwright::screens {

/// All findings of a session as Notes needs them: grouped, by time, and which notes they name as
/// hanging. Reads what is new since the last frame, so its cost does not grow with the session.
///
/// A value kept between frames; make a new one for a new session.
class FindingBook {
 public:
  /// Takes the findings that came since, and puts the groups in order for this frame.
  void read(const engine::History& history, const engine::Now& now,
            const std::optional<diagnosis::Finding>& pinned);

  /// Each rule and note once, with how often; in the order of `group_findings`.
  [[nodiscard]] const std::vector<FindingGroup>& groups() const { return groups_; }

  /// Indexes of the findings whose time lies in [from_ns, to_ns], in no order.
  [[nodiscard]] std::vector<std::uint64_t> between(
      const decltype(engine::History::findings)::View& view, std::int64_t from_ns,
      std::int64_t to_ns) const;

  /// Whether a finding names the note that started then as one that hangs.
  [[nodiscard]] bool hangs(std::uint8_t channel_index, std::uint8_t note,
                           std::int64_t start_ns) const;

  /// The one of the same group before (`step` < 0) or after `finding`, if the history has it. Looks
  /// through the history: for a key press, not for every frame.
  [[nodiscard]] static std::optional<diagnosis::Finding> neighbour(
      const engine::History& history, const diagnosis::Finding& finding, int step);

  /// How often a rule was broken.
  [[nodiscard]] std::uint64_t count(diagnosis::Rule rule) const;

 private:
  /// Decided so much later than it happened: found by its own list (ours).
  static constexpr std::int64_t late_ns = 1'000'000'000;
  static constexpr std::size_t most_hanging = 20'000;

  struct Kind {
    diagnosis::Finding newest;
    std::uint64_t count = 0;
    std::uint64_t newest_index = 0;
  };

  void take(const diagnosis::Finding& finding, std::uint64_t index);
  void order_groups(const engine::Now& now, const std::optional<diagnosis::Finding>& pinned);
  void take_hanging(const diagnosis::Finding& finding);
  void add_hanging(std::uint8_t channel_index, std::uint8_t note, std::int64_t start_ns);

  std::uint64_t next_ = 0;  ///< index of the first one not yet read
  std::vector<FindingGroup> groups_;
  std::uint64_t ordered_version_ = 0;  ///< of the now-state, when they were put in order
  std::optional<std::uint64_t> ordered_pin_;
  std::unordered_map<std::uint64_t, Kind> kinds_;
  std::deque<std::pair<std::int64_t, std::uint64_t>> late_;  ///< time, index; by time
  std::unordered_set<std::uint64_t> hanging_;
  std::deque<std::uint64_t> hanging_order_;  ///< oldest first, so that the set stays small
};

}  // namespace strumwright::screens
