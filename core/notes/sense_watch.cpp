// core/notes/sense_watch.cpp
#include "core/notes/sense_watch.h"

#include <algorithm>

namespace strumwright::notes {

std::optional<std::int64_t> SenseWatch::push(std::int64_t first_ns, std::int64_t last_ns,
                                             bool sensing) {
  const auto lost_ns = advance(first_ns);
  if (sensing) expecting_ = true;
  last_ns_ = std::max(last_ns_, last_ns);
  return lost_ns;
}

std::optional<std::int64_t> SenseWatch::advance(std::int64_t t_ns) {
  if (!expecting_ || t_ns - last_ns_ <= sense_limit_ns) return std::nullopt;
  // Off until the next FE, as in a receiver: a sender that plays on without sensing is one
  // finding, not one at every pause.
  expecting_ = false;
  // The deadline, not the call: a replay that calls at other times must find the same.
  return last_ns_ + sense_limit_ns;
}

std::optional<std::int64_t> SenseWatch::deadline_ns() const {
  if (!expecting_) return std::nullopt;
  return last_ns_ + sense_limit_ns;
}

}  // namespace strumwright::notes
