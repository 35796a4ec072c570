// core/simulation/fault_picker.h
#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <span>
#include <vector>

#include "core/diagnosis/rule.h"
#include "core/simulation/random.h"

namespace strumwright::simulation {

/// How often a fault is put in.
struct FaultRate {
  diagnosis::Rule rule{};
  double rate = 0.0;  ///< chance a stroke, 0 to 1
};

/// When in a session a fault can be put in.
enum class FaultPlace : std::uint8_t {
  session,     ///< it is the whole session
  opening,     ///< before the first stroke only
  stroke,      ///< in or behind any stroke
  when_clear,  ///< in a stroke, while no note hangs from a fault before
  never,       ///< bytes and times of one source without an instrument cannot show it
};
[[nodiscard]] FaultPlace place_of(diagnosis::Rule rule);
/// Every rule that can be put in, in the order of the catalogue.
[[nodiscard]] std::vector<diagnosis::Rule> simulated_rules();

/// Decides which stroke carries which fault, at most one at a time. Those whose turn has not come
/// wait, each rule at most once. Bounded memory.
class FaultPicker {
 public:
  FaultPicker(std::span<const FaultRate> rates, std::uint64_t seed);

  [[nodiscard]] bool wants(diagnosis::Rule rule) const;
  /// A stroke comes: each rule has its chance to be due.
  void draw();
  /// The due fault that has waited longest and may be put in now: `clear`, no note hangs;
  /// `left_ns` of the session are left.
  std::optional<diagnosis::Rule> take(bool clear, std::int64_t left_ns);

 private:
  std::vector<FaultRate> rates_;  ///< of those that strokes carry
  std::vector<diagnosis::Rule> once_;
  std::deque<diagnosis::Rule> due_;
  Random random_;
};

}  // namespace strumwright::simulation
