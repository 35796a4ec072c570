// core/diagnosis/note_judge.h
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/diagnosis/finding.h"
#include "core/harmony/chord_name.h"
#include "core/notes/note_fact.h"
#include "core/strum/stroke.h"

namespace strumwright::diagnosis {

/// Longest time a note may be down while others come and go, without an instrument's word (ours).
inline constexpr std::int64_t default_hold_limit_ns = 30'000'000'000;

struct NoteJudgeSettings {
  std::int64_t hold_limit_ns = default_hold_limit_ns;
  bool has_times = true;  ///< false at grades `batched` and `none`: no flash, no stuck (b)
  bool has_order = true;  ///< false at grade `none`: no burst-short
};

/// Every rule about notes of one source: stuck, off-unmatched, on-twice, swapped-off,
/// channel-crossed, burst-short, flash, all-off-only (rules, section 3).
///
/// Takes the ledger's facts in order, the strokes when they are final, the chord names when they
/// settle. Decisions that wait are deadlines: before a fact at t the owner calls `advance(t)`,
/// which fires those < t in order, stamped with the deadline. A copyable value of bounded memory.
/// Thread: its owner's only.
class NoteJudge {
 public:
  NoteJudge(std::uint16_t src, NoteJudgeSettings settings);

  void push(const notes::NoteFact& fact, std::vector<Finding>& findings);
  void stroke(const strum::Stroke& stroke, std::vector<Finding>& findings);
  /// A chord name settled for a stroke that began at `t_ns`.
  void chord(std::int64_t t_ns, harmony::Reading name);
  void advance(std::int64_t t_ns, std::vector<Finding>& findings);
  /// The input ended at `t_ns`.
  void finish(std::int64_t t_ns, std::vector<Finding>& findings);
  /// Settings for starts from now on.
  void set(NoteJudgeSettings settings);

  [[nodiscard]] std::optional<std::int64_t> deadline_ns() const;
};

}  // namespace strumwright::diagnosis
