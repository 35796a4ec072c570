// core/diagnosis/wire_judge.cpp
#include "core/diagnosis/wire_judge.h"

#include <optional>

#include "core/midi/status.h"

namespace strumwright::diagnosis {
namespace {

using midi::Code;

std::optional<Rule> rule_of(const midi::Event& event, std::uint64_t count) {
  if (event.code() == midi::sysex_start) {
    return count == 2 ? std::optional(Rule::wire_sysex_empty) : std::nullopt;
  }
  if (event.is_message()) return std::nullopt;
  switch (static_cast<Code>(event.code())) {
    case Code::stray:
      return Rule::wire_stray_data;
    case Code::joined:
      return Rule::wire_joined;
    case Code::text:
      return Rule::wire_text;
    case Code::cut_short:
      return Rule::wire_cut_short;
    case Code::undefined:
      return Rule::wire_undefined_status;
    case Code::sysex_open:
      return Rule::wire_sysex_open;
    case Code::eox_alone:
      return Rule::wire_eox_alone;
    case Code::count:
      return std::nullopt;
  }
  return std::nullopt;
}

/// The input that ends inside a message says little about the sender: a warning.
Severity severity_of(Rule rule, bool at_end) {
  const bool unfinished = rule == Rule::wire_cut_short || rule == Rule::wire_sysex_open;
  return at_end && unfinished ? Severity::warning : text_of(rule).severity;
}

}  // namespace

void WireJudge::push(std::span<const midi::Event> events, std::int64_t decided_ns, bool at_end,
                     std::vector<Finding>& findings) const {
  for (std::size_t i = 0; i < events.size(); ++i) {
    const auto& event = events[i];
    const bool counted = i + 1 < events.size() && events[i + 1].is(Code::count);
    const std::uint64_t count = counted ? events[i + 1].count() : 1;
    const auto rule = rule_of(event, count);
    if (!rule) continue;
    Finding finding;
    finding.rule = *rule;
    finding.severity = severity_of(*rule, at_end);
    finding.doubt = raw_ ? Doubt::none : Doubt::peer_not_wire;
    finding.at_end = at_end;
    finding.src = src_;
    finding.t_ns = event.t_ns;
    finding.decided_ns = decided_ns;
    finding.byte = event.byte();
    finding.count = count;
    if (*rule == Rule::wire_cut_short || *rule == Rule::wire_undefined_status) {
      finding.amount = event.data1();
    }
    if (*rule == Rule::wire_cut_short) {
      finding.amount += std::int64_t{event.data2()} * 256;
      if (midi::is_channel_status(event.data1())) {
        finding.channel = static_cast<std::uint8_t>((event.data1() & 15U) + 1U);
      }
    }
    findings.push_back(finding);
  }
}

}  // namespace strumwright::diagnosis
