// core/wire/status_age.cpp
#include "core/wire/status_age.h"

namespace strumwright::wire {

void StatusAge::status(std::int64_t t_ns) { status_ns_ = t_ns; }

std::optional<std::int64_t> StatusAge::running_note(std::int64_t t_ns) {
  if (!status_ns_ || t_ns - *status_ns_ <= status_age_limit_ns) return std::nullopt;
  const std::int64_t age_ns = t_ns - *status_ns_;
  status_ns_.reset();
  return age_ns;
}

}  // namespace strumwright::wire
