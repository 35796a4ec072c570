// core/diagnosis/note_judge.cpp
#include "core/diagnosis/note_judge.h"

#include <algorithm>
#include <array>

namespace strumwright::diagnosis {
namespace {

using What = notes::NoteFact::What;

constexpr std::uint8_t drum_channel = 9;     // its starts are in no stroke
constexpr std::uint64_t least_releases = 2;  // of a burst

}  // namespace

NoteJudge::NoteJudge(std::uint16_t src, NoteJudgeSettings settings) : src_(src), restarts_(src) {
  set(settings);
}

void NoteJudge::set(NoteJudgeSettings settings) {
  settings_ = settings;
  settings_.hold_limit_ns = std::max<std::int64_t>(settings_.hold_limit_ns, 0);
  if (!settings_.has_times) holds_.forget();
}

void NoteJudge::push(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  ++order_;
  if (!first_ns_) first_ns_ = fact.t_ns;
  switch (fact.what) {
    case What::start:
      start(fact, findings);
      break;
    case What::end:
      end(fact, findings);
      break;
    case What::orphan:
      orphan(fact, findings);
      break;
    case What::mode_message:
      if (all_offs_.full()) all_offs_.decide(at(fact.t_ns), findings);
      all_offs_.message(fact);
      break;
  }
}

// --- Facts -----------------------------------------------------------------------------------

void NoteJudge::start(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  if (table_.at(fact.key).down) restart(fact, findings);
  table_.start(fact, order_);
  if (settings_.has_times) holds_.start(fact.key, later_ns(fact.t_ns, settings_.hold_limit_ns));
}

void NoteJudge::restart(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  const auto& note = table_.at(fact.key);
  if (bursts_.missing(fact.key)) {
    short_burst(fact.key, at(fact.t_ns), findings);
  } else {
    bursts_.lost(fact.key);
  }
  if (note.named) return;
  restarts_.push({.key = fact.key,
                  .t_ns = fact.t_ns,
                  .byte = fact.byte,
                  .order = order_,
                  .start_before_ns = note.start_ns,
                  .awaited_orphan = orphans_.newest_that_may_name(fact.key, note),
                  .awaits_stroke = may_be_burst(fact.key, note)},
                 findings);
}

/// Whether the note may be in the missing tail of a stroke that is not final yet.
bool NoteJudge::may_be_burst(notes::NoteKey key, const NoteState& note) const {
  return settings_.has_order && released_uncovered_ >= least_releases &&
         note.start_ns > covered_ns_ && key.channel.index != drum_channel;
}

void NoteJudge::end(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  if (is_release(fact.how)) {
    release(fact, findings);
  } else {
    bursts_.lost(fact.key);
    if (fact.how == notes::Ending::mode_message) all_offs_.ended(fact.key);
  }
  table_.end(fact, order_);
  holds_.end(fact.key).for_each([&](std::uint8_t number) {
    held_too_long({fact.key.channel, number}, at(fact.t_ns), findings);
  });
}

void NoteJudge::release(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  const auto& note = table_.at(fact.key);
  bursts_.released(fact.key, fact.t_ns, fact.byte);
  if (note.start_ns > covered_ns_) ++released_uncovered_;
  const std::int64_t lasted_ns = fact.t_ns - note.start_ns;
  if (!settings_.has_times || lasted_ns >= flash_limit_ns) return;
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

// --- Strokes and chords ----------------------------------------------------------------------

void NoteJudge::stroke(const strum::Stroke& stroke, std::vector<Finding>& findings) {
  covered_ns_ = std::max(covered_ns_, stroke.end_ns);
  released_uncovered_ = 0;
  if (settings_.has_order) bursts_.stroke(stroke, table_);
  settle_covered(stroke, findings);
}

/// Judges the restarts that waited for this stroke. A double inside it is part of it; a start after
/// it is one of a missing tail, or it ends the hope to tell.
void NoteJudge::settle_covered(const strum::Stroke& stroke, std::vector<Finding>& findings) {
  auto covered = restarts_.take_covered(covered_ns_);
  const auto others =
      std::stable_partition(covered.begin(), covered.end(), [&](const Restart& restart) {
        return restart.t_ns > stroke.end_ns && bursts_.missing(restart.key);
      });
  for (auto restart = covered.begin(); restart != others; ++restart) {
    if (bursts_.missing(restart->key)) short_burst(restart->key, at(restart->t_ns), findings);
  }
  for (auto restart = others; restart != covered.end(); ++restart) {
    if (restart->t_ns > stroke.end_ns) bursts_.lost(restart->key);
    restart->awaits_stroke = false;
    restarts_.push(*restart, findings);
  }
}

void NoteJudge::chord(std::int64_t t_ns, harmony::Reading name) { chords_.settle(t_ns, name); }

// --- Time ------------------------------------------------------------------------------------

std::optional<std::int64_t> NoteJudge::deadline_ns() const {
  std::optional<std::int64_t> first = orphans_.deadline_ns();
  for (const auto deadline_ns : {all_offs_.deadline_ns(), holds_.deadline_ns()}) {
    if (deadline_ns && (!first || *deadline_ns < *first)) first = deadline_ns;
  }
  return first;
}

void NoteJudge::advance(std::int64_t t_ns, std::vector<Finding>& findings) {
  for (auto due_ns = deadline_ns(); due_ns && *due_ns < t_ns; due_ns = deadline_ns()) {
    const Decision decision = at(*due_ns);
    // Orphans first: a note that one of them names is not stuck.
    if (orphans_.deadline_ns() == due_ns) {
      decide_orphan(decision, findings);
    } else if (all_offs_.deadline_ns() == due_ns) {
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
  while (orphans_.deadline_ns() || all_offs_.deadline_ns()) {
    const auto orphan_ns = orphans_.deadline_ns();
    const auto all_off_ns = all_offs_.deadline_ns();
    if (orphan_ns && (!all_off_ns || *orphan_ns <= *all_off_ns)) {
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
      if (bursts_.missing(key)) short_burst(key, decision, findings);
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
    short_burst(key, decision, findings);
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

/// Raises the burst in whose missing tail the note is: one finding a channel (nearly always one).
void NoteJudge::short_burst(notes::NoteKey key, const Decision& decision,
                            std::vector<Finding>& findings) {
  const Burst burst = bursts_.take(key);
  std::array<std::optional<Finding>, 16> found;
  for (std::size_t i = burst.came; i < burst.notes.size(); ++i) {
    const notes::NoteKey missing = burst.notes[i];
    auto& note = table_.at(missing);
    if (note.named) continue;
    note.named = note.start_ns <= burst.end_ns;  // a start since then has used the name up
    auto& finding = found[missing.channel.index & 15U];
    if (!finding) {
      finding = note_finding(Rule::note_burst_short, decision, missing.channel, missing.number,
                             burst.last_ns, burst.last_byte);
      finding->count = 0;
      finding->amount = static_cast<std::int64_t>(burst.came);
      finding->other_ns = burst.start_ns;
    }
    finding->listed.add(missing.number);
    ++finding->count;
  }
  for (const auto& finding : found) {
    if (finding) findings.push_back(*finding);
  }
}

}  // namespace strumwright::diagnosis
