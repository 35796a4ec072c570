// core/simulation/fault_maker.h
#pragma once

#include <cstdint>

#include "core/diagnosis/rule.h"
#include "core/simulation/bar.h"
#include "core/simulation/random.h"

namespace strumwright::simulation {

/// How much of the session a fault must have before it, so that it is seen as meant.
[[nodiscard]] std::int64_t time_for(diagnosis::Rule rule);

/// How long a sender goes without a status byte to be told of it (a little over 10 s).
inline constexpr std::int64_t withheld_status_ns = 11'500'000'000;

struct FaultSettings {
  ReleaseStyle release = ReleaseStyle::velocity_zero;
  std::int64_t hold_limit_ns = 30'000'000'000;  ///< after which a note that is down counts as stuck
};

/// Puts the fault into a clean bar of the lower rank with six strings or more, so that the rules
/// find exactly this one there. Not for faults of the opening or of the whole session.
void put_in(diagnosis::Rule rule, const FaultSettings& settings, Random& random, Bar& bar);

}  // namespace strumwright::simulation
