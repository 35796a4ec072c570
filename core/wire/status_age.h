// core/wire/status_age.h
#pragma once

#include <cstdint>
#include <optional>

namespace strumwright::wire {

/// Longest time that notes may go on under one status byte (ours).
inline constexpr std::int64_t status_age_limit_ns = 10'000'000'000;

/// Watches a raw source for notes sent for over 10 s since its last status byte (rule
/// `wire.status-age`): a receiver that joins in that time hears nothing.
///
/// A stretch begins with a status byte below F8 and is named once. Nothing is said before the first
/// one, since no note can come without. A pause counts as much as notes do: the receiver may have
/// joined in it. A copyable value. Times never go back. Thread: its owner's only.
class StatusAge {
 public:
  /// A status byte below F8 was sent, of whatever message, complete or not.
  void status(std::int64_t t_ns);
  /// A note message came under running status. Returns the age of the status in force, at the first
  /// such note of a stretch that is over the limit.
  std::optional<std::int64_t> running_note(std::int64_t t_ns);

 private:
  std::optional<std::int64_t> status_ns_;  ///< empty: none yet, or this stretch was named
};

}  // namespace strumwright::wire
