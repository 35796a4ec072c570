// core/diagnosis/note_judge.cpp
#include "core/diagnosis/note_judge.h"

#include <algorithm>
#include <array>
#include <utility>

namespace strumwright::diagnosis {
namespace {

constexpr std::size_t least_releases = 2;  // of a burst

}  // namespace

NoteJudge::NoteJudge(std::uint16_t src, NoteJudgeSettings settings) : src_(src), restarts_(src) {
  set(settings);
}

void NoteJudge::set(NoteJudgeSettings settings) {
  settings_ = settings;
  settings_.hold_limit_ns = std::max<std::int64_t>(settings_.hold_limit_ns, 0);
  if (!settings_.has_times) holds_.forget();
}

// --- Facts -----------------------------------------------------------------------------------

void NoteJudge::restart(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  const auto& note = table_.at(fact.key);
  if (bursts_.missing(fact.key)) {
    short_burst(bursts_.take(fact.key), at(fact.t_ns), findings);
  } else {
    bursts_.lost(fact.key);
  }
  if (note.named) return;
  restarts_.push({.key = fact.key,
                  .t_ns = fact.t_ns,
                  .byte = fact.byte,
                  .order = order_,
                  .start_before_ns = note.start_ns,
                  .start_before_order = note.start_order,
                  .awaited_orphan = orphans_.newest_that_may_name(fact.key, note),
                  .awaits_stroke = starts_.has(fact.key) && starts_.releases() >= least_releases},
                 findings);
}

void NoteJudge::end_in_burst(const notes::NoteFact& fact) {
  if (is_release(fact.how)) {
    bursts_.released(fact.key, fact.t_ns, fact.byte);
  } else {
    bursts_.lost(fact.key);
  }
  starts_.end(fact, order_);
}

void NoteJudge::end_of_hold(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  const auto ripe = holds_.end(fact.key);
  // A mode message and the like end the held note at the same moment as the others.
  if (!is_release(fact.how)) return;
  ripe.for_each([&](std::uint8_t number) {
    held_too_long({fact.key.channel, number}, at(fact.t_ns), findings);
  });
}

void NoteJudge::watch_flash(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  const auto& note = table_.at(fact.key);
  const std::int64_t lasted_ns = fact.t_ns - note.start_ns;
  if (lasted_ns >= flash_limit_ns) return;
  auto finding = note_finding(Rule::note_flash, at(fact.t_ns), fact.key.channel, fact.key.number,
                              note.start_ns, note.start_byte);
  finding.amount = lasted_ns;
  findings.push_back(finding);
}

void NoteJudge::orphan(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  const auto& note = table_.at(fact.key);
  if (note.end_order != 0 && note.ended_by == notes::Ending::mode_message &&
      fact.t_ns - note.end_ns <= own_release_ns) {
    all_offs_.released(fact.key);
  }
  if (orphans_.full()) decide_orphan(at(fact.t_ns), findings);
  orphans_.push(
      {.key = fact.key,
       .t_ns = fact.t_ns,
       .byte = fact.byte,
       .order = order_,
       .may_be_older = note.start_order == 0 && fact.t_ns - *first_ns_ <= settings_.hold_limit_ns},
      table_);
  table_.orphan(fact, order_);
}

void NoteJudge::mode_message(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  if (all_offs_.full()) all_offs_.decide(at(fact.t_ns), findings);
  all_offs_.message(fact);
}

// --- Strokes and chords ----------------------------------------------------------------------

void NoteJudge::stroke(const strum::Stroke& stroke, std::vector<Finding>& findings) {
  if (!settings_.has_order) return;
  const auto starts = starts_.take(stroke);
  if (settle_covered(starts, stroke.start_ns, findings)) return;
  if (auto burst = burst_before(starts, stroke.start_ns, order_ + 1)) {
    bursts_.add(std::move(*burst));
  }
}

bool NoteJudge::settle_covered(std::span<const LoggedStart> starts, std::int64_t stroke_ns,
                               std::vector<Finding>& findings) {
  std::optional<Burst> burst;
  for (auto restart : restarts_.take_covered(starts_.oldest())) {
    if (!burst) {
      // As it stood then: what came since, the rule does not ask.
      burst = burst_before(starts, stroke_ns, restart.order);
      if (burst && burst->is_short() && burst->misses(restart.start_before_order)) {
        short_burst(*burst, at(restart.t_ns), findings);
      } else {
        burst.reset();
      }
    }
    if (burst && burst->misses(restart.start_before_order)) continue;
    restart.awaits_stroke = false;
    restarts_.push(restart, findings);
  }
  return burst.has_value();
}

void NoteJudge::chord(std::int64_t t_ns, harmony::Reading name) { chords_.settle(t_ns, name); }

// --- Time ------------------------------------------------------------------------------------

void NoteJudge::advance(std::int64_t t_ns, std::vector<Finding>& findings) {
  for (std::int64_t next_ns = due_ns(); next_ns < t_ns; next_ns = due_ns()) {
    const Decision decision = at(next_ns);
    // Orphans first: a note that one of them names is not stuck.
    if (orphans_.deadline_ns() == next_ns) {
      decide_orphan(decision, findings);
    } else if (all_offs_.deadline_ns() == next_ns) {
      all_offs_.decide(decision, findings);
    } else {
      std::vector<notes::NoteKey> held;
      holds_.fire(held);
      for (const auto key : held) held_too_long(key, decision, findings);
    }
  }
}

void NoteJudge::finish(std::int64_t t_ns, std::vector<Finding>& findings) {
  advance(t_ns, findings);
  const Decision decision{src_, t_ns, true};
  settle_waiting(decision, findings);
  settle_down(decision, findings);
}

void NoteJudge::settle_waiting(const Decision& decision, std::vector<Finding>& findings) {
  while (std::min(orphans_.deadline_ns(), all_offs_.deadline_ns()) != no_deadline_ns) {
    if (orphans_.deadline_ns() <= all_offs_.deadline_ns()) {
      decide_orphan(decision, findings);
    } else {
      all_offs_.decide(decision, findings);
    }
  }
  restarts_.finish(decision, findings);
}

void NoteJudge::settle_down(const Decision& decision, std::vector<Finding>& findings) {
  for (std::uint8_t index = 0; index < 16; ++index) {
    table_.down({index}).for_each([&](std::uint8_t number) {
      const notes::NoteKey key{{index}, number};
      if (bursts_.missing(key)) short_burst(bursts_.take(key), decision, findings);
      if (!table_.at(key).named && !table_.at(key).stuck) stuck(key, decision, findings);
    });
  }
}

// --- Decisions -------------------------------------------------------------------------------

void NoteJudge::decide_orphan(const Decision& decision, std::vector<Finding>& findings) {
  const auto judged = orphans_.decide(decision, table_, chords_, findings);
  if (judged.named) {
    auto& note = table_.at(*judged.named);
    note.ever_named = true;
    note.named_by_ns = judged.t_ns;
    // Named as from the orphan: a start since then has used the name up.
    if (note.start_order < judged.order) {
      note.named = true;
    } else {
      restarts_.explain(*judged.named, judged.order);
    }
  }
  restarts_.orphan_decided(judged.order, decision, findings);
}

void NoteJudge::held_too_long(notes::NoteKey key, const Decision& decision,
                              std::vector<Finding>& findings) {
  if (table_.at(key).named) return;
  if (bursts_.missing(key)) {
    short_burst(bursts_.take(key), decision, findings);
  } else {
    stuck(key, decision, findings);
  }
}

void NoteJudge::stuck(notes::NoteKey key, const Decision& decision,
                      std::vector<Finding>& findings) {
  auto& note = table_.at(key);
  note.stuck = true;
  auto finding = note_finding(Rule::note_stuck, decision, key.channel, key.number, note.start_ns,
                              note.start_byte);
  finding.amount = decision.decided_ns - note.start_ns;
  findings.push_back(finding);
}

/// Raises the missing tail as one finding a channel (nearly always one).
void NoteJudge::short_burst(const Burst& burst, const Decision& decision,
                            std::vector<Finding>& findings) {
  std::array<std::optional<Finding>, 16> found;
  for (const auto& [key, start_order] : burst.missing()) {
    auto& note = table_.at(key);
    const bool newest = note.start_order == start_order;  // a start since then is not in question
    if (newest && note.named) continue;
    if (newest) note.named = true;
    auto& finding = found[key.channel.index & 15U];
    if (!finding) {
      finding = note_finding(Rule::note_burst_short, decision, key.channel, key.number,
                             burst.last_ns, burst.last_byte);
      finding->count = 0;
      finding->amount = static_cast<std::int64_t>(burst.came);
      finding->other_ns = burst.stroke_ns;
    }
    finding->listed.add(key.number);
    ++finding->count;
  }
  for (const auto& finding : found) {
    if (finding) findings.push_back(*finding);
  }
}

}  // namespace strumwright::diagnosis
