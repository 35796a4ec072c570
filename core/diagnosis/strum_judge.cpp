// core/diagnosis/strum_judge.cpp
#include "core/diagnosis/strum_judge.h"

namespace strumwright::diagnosis {

Finding StrumJudge::make(Rule rule, std::int64_t t_ns, const StrokeVerdict& verdict) const {
  Finding finding;
  finding.rule = rule;
  finding.severity = text_of(rule).severity;
  finding.at_end = verdict.at_end;
  finding.src = src_;
  finding.t_ns = t_ns;
  finding.decided_ns = verdict.decided_ns;
  return finding;
}

void StrumJudge::stroke(const strum::Stroke& stroke, const harmony::ChordName& chord,
                        const StrokeVerdict& verdict, std::vector<Finding>& findings) const {
  if (!stroke.is_strum()) return;
  if (!chord.named) {
    auto finding = make(Rule::chord_unknown, stroke.start_ns, verdict);
    finding.byte = stroke.onsets.front().byte;
    for (const auto& onset : stroke.onsets) {
      if (onset.role != strum::Role::doubled) finding.listed.add(onset.note);
    }
    finding.count = static_cast<std::uint64_t>(stroke.steps);
    findings.push_back(finding);
  }
  if (!verdict.timed) return;
  if (stroke.wire_limited) {
    auto finding = make(Rule::strum_wire_limited, stroke.start_ns, verdict);
    finding.byte = stroke.onsets.front().byte;
    finding.count = static_cast<std::uint64_t>(stroke.steps);
    finding.amount = stroke.span_ns;
    findings.push_back(finding);
  }
  for (const auto& onset : stroke.onsets) {
    if (onset.role != strum::Role::doubled || onset.doubles_other_channel) continue;
    auto finding = make(Rule::strum_doubled, onset.t_ns, verdict);
    finding.byte = onset.byte;
    finding.channel = static_cast<std::uint8_t>(onset.channel.number());
    finding.note = onset.note;
    finding.amount = onset.doubled_after_ns;
    findings.push_back(finding);
  }
}

void StrumJudge::chord_changed(std::int64_t t_ns, harmony::Reading name,
                               const StrokeVerdict& verdict, std::vector<Finding>& findings) {
  const bool passed_by = newest_ && before_ && t_ns - newest_->t_ns < passing_limit_ns;
  if (passed_by && verdict.timed) {
    auto finding = make(Rule::chord_passing, newest_->t_ns, verdict);
    finding.amount = t_ns - newest_->t_ns;
    finding.chord_before = newest_->name;  // the one that passed
    finding.chord_after = name;
    findings.push_back(finding);
  }
  before_ = newest_;
  newest_ = Change{t_ns, name};
}

}  // namespace strumwright::diagnosis
