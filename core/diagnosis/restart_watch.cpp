// core/diagnosis/restart_watch.cpp
#include "core/diagnosis/restart_watch.h"

#include <algorithm>
#include <iterator>

#include "core/limits.h"

namespace strumwright::diagnosis {

void RestartWatch::push(const Restart& restart, std::vector<Finding>& findings) {
  const Decision now{src_, restart.t_ns, false};
  if (restart.awaited_orphan == 0 && !restart.awaits_stroke) {
    raise(restart, now, findings);
    return;
  }
  if (waiting_.size() >= limits::decisions_waiting) {
    raise(waiting_.front(), now, findings);
    waiting_.pop_front();
  }
  waiting_.push_back(restart);
}

void RestartWatch::explain(notes::NoteKey key, std::uint64_t orphan_order) {
  std::erase_if(waiting_, [&](const Restart& restart) {
    return restart.key == key && restart.start_before_order < orphan_order &&
           orphan_order < restart.order;
  });
}

void RestartWatch::orphan_decided(std::uint64_t orphan_order, const Decision& decision,
                                  std::vector<Finding>& findings) {
  if (waiting_.empty()) return;
  for (auto& restart : waiting_) {
    if (restart.awaited_orphan == 0 || restart.awaited_orphan > orphan_order) continue;
    restart.awaited_orphan = 0;
    if (!restart.awaits_stroke) raise(restart, decision, findings);
  }
  std::erase_if(waiting_, [](const Restart& restart) {
    return restart.awaited_orphan == 0 && !restart.awaits_stroke;
  });
}

std::vector<Restart> RestartWatch::take_covered(std::uint64_t open_order) {
  std::vector<Restart> covered;
  const auto is_covered = [open_order](const Restart& restart) {
    return restart.awaits_stroke && restart.start_before_order < open_order;
  };
  std::copy_if(waiting_.begin(), waiting_.end(), std::back_inserter(covered), is_covered);
  if (!covered.empty()) std::erase_if(waiting_, is_covered);
  return covered;
}

void RestartWatch::finish(const Decision& decision, std::vector<Finding>& findings) {
  for (const auto& restart : waiting_) raise(restart, decision, findings);
  waiting_.clear();
}

void RestartWatch::raise(const Restart& restart, const Decision& decision,
                         std::vector<Finding>& findings) const {
  auto finding = note_finding(Rule::note_on_twice, decision, restart.key.channel,
                              restart.key.number, restart.t_ns, restart.byte);
  finding.other_ns = restart.start_before_ns;
  finding.amount = restart.t_ns - restart.start_before_ns;
  findings.push_back(finding);
}

}  // namespace strumwright::diagnosis
