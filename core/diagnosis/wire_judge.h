// core/diagnosis/wire_judge.h
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/diagnosis/finding.h"
#include "core/midi/event.h"

namespace strumwright::diagnosis {

/// Turns the byte parser's anomalies of one source into findings (rules, section 2).
///
/// A copyable value. Thread: its owner's only.
class WireJudge {
 public:
  /// `raw`: the source's bytes are those of a wire. Where they are not, each finding carries the
  /// doubt that it shows the sending program.
  WireJudge(std::uint16_t src, bool raw) : src_(src), raw_(raw) {}

  /// Takes the events that one byte at `decided_ns` gave (or the end of the input), whole: a
  /// `Code::count` stands right behind what it counts.
  void push(std::span<const midi::Event> events, std::int64_t decided_ns, bool at_end,
            std::vector<Finding>& findings) const;

 private:
  std::uint16_t src_;
  bool raw_;
};

}  // namespace strumwright::diagnosis
