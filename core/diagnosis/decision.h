// core/diagnosis/decision.h
#pragma once

#include <cstdint>
#include <limits>
#include <optional>

#include "core/diagnosis/finding.h"

namespace strumwright::diagnosis {

/// When and how a judge came to its finding.
struct Decision {
  std::uint16_t src = 0;
  std::int64_t decided_ns = 0;
  bool at_end = false;  ///< because the input ended
};

/// Of what waits for no moment.
inline constexpr std::int64_t no_deadline_ns = std::numeric_limits<std::int64_t>::max();

/// `by_ns` after `t_ns`, or at the last moment there is.
constexpr std::int64_t later_ns(std::int64_t t_ns, std::int64_t by_ns) {
  return t_ns >= no_deadline_ns - by_ns ? no_deadline_ns - 1 : t_ns + by_ns;
}

/// A finding about a note (or about its channel alone) at `t_ns`, without further evidence.
inline Finding note_finding(Rule rule, const Decision& decision, midi::Channel channel,
                            std::optional<std::uint8_t> note, std::int64_t t_ns,
                            std::uint64_t byte) {
  Finding finding;
  finding.rule = rule;
  finding.severity = text_of(rule).severity;
  finding.at_end = decision.at_end;
  finding.src = decision.src;
  finding.t_ns = t_ns;
  finding.decided_ns = decision.decided_ns;
  finding.byte = byte;
  finding.channel = static_cast<std::uint8_t>(channel.number());
  finding.note = note;
  return finding;
}

}  // namespace strumwright::diagnosis
