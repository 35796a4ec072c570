// core/diagnosis/note_judge.h
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/diagnosis/all_off_watch.h"
#include "core/diagnosis/burst_watch.h"
#include "core/diagnosis/chord_memory.h"
#include "core/diagnosis/finding.h"
#include "core/diagnosis/hold_watch.h"
#include "core/diagnosis/note_table.h"
#include "core/diagnosis/orphan_court.h"
#include "core/diagnosis/restart_watch.h"
#include "core/diagnosis/start_log.h"
#include "core/harmony/chord_name.h"
#include "core/notes/note_fact.h"
#include "core/strum/stroke.h"

namespace strumwright::diagnosis {

/// Longest time a note may be down while others come and go, without an instrument's word (ours).
inline constexpr std::int64_t default_hold_limit_ns = 30'000'000'000;
/// A note released sooner after its start was played by no finger (ours).
inline constexpr std::int64_t flash_limit_ns = 2'000'000;

struct NoteJudgeSettings {
  std::int64_t hold_limit_ns = default_hold_limit_ns;
  bool has_times = true;  ///< false at grades `batched` and `none`: no flash, no stuck (b)
  bool has_order = true;  ///< false at grade `none`: no burst-short
};

/// Every rule about notes of one source: stuck, off-unmatched, on-twice, swapped-off,
/// channel-crossed, burst-short, flash, all-off-only (rules, section 3). The wiring of the watches
/// that know one of them each.
///
/// Takes the ledger's facts in order, the strokes when they are final, the chord names when they
/// settle. Decisions that wait are deadlines: before a fact at t the owner calls `advance(t)`,
/// which fires those < t in order, stamped with the deadline. A copyable value of bounded memory.
/// Thread: its owner's only.
class NoteJudge {
 public:
  NoteJudge(std::uint16_t src, NoteJudgeSettings settings);

  [[gnu::always_inline]] void push(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void stroke(const strum::Stroke& stroke, std::vector<Finding>& findings);
  /// A chord name settled for a stroke that began at `t_ns`.
  void chord(std::int64_t t_ns, harmony::Reading name);
  void advance(std::int64_t t_ns, std::vector<Finding>& findings);
  /// The input ended at `t_ns`.
  void finish(std::int64_t t_ns, std::vector<Finding>& findings);
  /// The hold limit for starts from now on; the rest at once.
  void set(NoteJudgeSettings settings);

  [[nodiscard]] std::optional<std::int64_t> deadline_ns() const {
    const std::int64_t first_ns = due_ns();
    return first_ns == no_deadline_ns ? std::nullopt : std::optional(first_ns);
  }

 private:
  void start(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void restart(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void end(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void mode_message(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void end_in_burst(const notes::NoteFact& fact);
  void end_of_hold(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void watch_flash(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void orphan(const notes::NoteFact& fact, std::vector<Finding>& findings);

  /// Judges the restarts that waited for this stroke; returns whether one of them showed its burst.
  bool settle_covered(std::span<const LoggedStart> starts, std::int64_t stroke_ns,
                      std::vector<Finding>& findings);
  void decide_orphan(const Decision& decision, std::vector<Finding>& findings);
  void held_too_long(notes::NoteKey key, const Decision& decision, std::vector<Finding>& findings);
  void short_burst(const Burst& burst, const Decision& decision, std::vector<Finding>& findings);
  void stuck(notes::NoteKey key, const Decision& decision, std::vector<Finding>& findings);
  void settle_waiting(const Decision& decision, std::vector<Finding>& findings);
  void settle_down(const Decision& decision, std::vector<Finding>& findings);

  /// Inline like `deadline_ns`: they are asked before each message.
  [[nodiscard]] std::int64_t due_ns() const {
    return std::min(std::min(orphans_.deadline_ns(), all_offs_.deadline_ns()),
                    holds_.deadline_ns());
  }
  [[nodiscard]] Decision at(std::int64_t t_ns) const { return {src_, t_ns, false}; }

  std::uint16_t src_;
  NoteJudgeSettings settings_;
  std::uint64_t order_ = 0;               ///< facts so far
  std::optional<std::int64_t> first_ns_;  ///< the first fact

  NoteTable table_;
  OrphanCourt orphans_;
  RestartWatch restarts_;
  StartLog starts_;
  AllOffWatch all_offs_;
  HoldWatch holds_;
  BurstWatch bursts_;
  ChordMemory chords_;
};

// Inline, because each note passes here.

inline void NoteJudge::push(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  ++order_;
  if (!first_ns_) first_ns_ = fact.t_ns;
  using What = notes::NoteFact::What;
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
      mode_message(fact, findings);
      break;
  }
}

inline void NoteJudge::start(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  if (table_.at(fact.key).down) restart(fact, findings);
  table_.start(fact, order_);
  if (settings_.has_order) starts_.start(fact.key, order_);
  if (settings_.has_times) holds_.start(fact.key, later_ns(fact.t_ns, settings_.hold_limit_ns));
}

/// Without order no burst is known, without times no note is watched for being held too long.
inline void NoteJudge::end(const notes::NoteFact& fact, std::vector<Finding>& findings) {
  const bool released = is_release(fact.how);
  if (settings_.has_times && released) watch_flash(fact, findings);
  if (!released && fact.how == notes::Ending::mode_message) all_offs_.ended(fact.key);
  table_.end(fact, order_);
  if (settings_.has_order) end_in_burst(fact);
  if (settings_.has_times) end_of_hold(fact, findings);
}

}  // namespace strumwright::diagnosis
