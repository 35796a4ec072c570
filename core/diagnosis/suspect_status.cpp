// core/diagnosis/suspect_status.cpp
#include "core/diagnosis/suspect_status.h"

#include <algorithm>

namespace strumwright::diagnosis {
namespace {

bool may_be_note(const midi::Event& message) {
  const bool control = (message.code() & 0xF0U) == midi::control_change;
  return control && message.running() && message.data1() < 120;
}

bool fits(const midi::Event& message, const strum::Onset& onset) {
  return onset.channel.index == (message.code() & 15U) && onset.note == message.data1() &&
         (message.data2() == 0 || message.data2() == onset.velocity);
}

}  // namespace

void SuspectStatus::stroke(const strum::Stroke& stroke) { newest_ = stroke.onsets; }

std::optional<Finding> SuspectStatus::push(const midi::Event& message,
                                           const strum::StrumTracker& strums) const {
  if (!may_be_note(message)) return std::nullopt;
  const auto open = strums.current();
  const auto& onsets = open ? open->onsets : newest_;
  const auto any = std::any_of(onsets.begin(), onsets.end(),
                               [&](const auto& onset) { return fits(message, onset); });
  return any ? std::optional(make(message)) : std::nullopt;
}

std::optional<Finding> SuspectStatus::push(const midi::Event& message,
                                           const notes::Ledger& ledger) const {
  const notes::NoteKey key{{static_cast<std::uint8_t>(message.code() & 15U)}, message.data1()};
  const bool releases = message.data2() == 0 && may_be_note(message) && ledger.is_down(key);
  return releases ? std::optional(make(message)) : std::nullopt;
}

Finding SuspectStatus::make(const midi::Event& message) const {
  Finding finding;
  finding.rule = Rule::wire_suspect_status;
  finding.severity = text_of(finding.rule).severity;
  finding.doubt = Doubt::two_readings;
  finding.src = src_;
  finding.t_ns = finding.decided_ns = message.t_ns;
  finding.byte = message.byte();
  finding.channel = static_cast<std::uint8_t>((message.code() & 15U) + 1U);
  finding.note = message.data1();
  finding.amount = message.data2();
  return finding;
}

}  // namespace strumwright::diagnosis
