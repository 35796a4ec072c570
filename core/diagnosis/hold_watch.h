// core/diagnosis/hold_watch.h
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "core/diagnosis/decision.h"
#include "core/notes/ledger.h"

namespace strumwright::diagnosis {

/// How many other notes must come and go before a note held too long is suspect (rules, section 3).
inline constexpr int others_before_stuck = 8;

/// Watches the notes of one source for those down longer than their limit while at least 8 other
/// starts of their channel came and ended: (b) of `note.stuck`.
///
/// The notes that are down form a list a channel, by age. Each counts the younger notes that ended
/// next to it; how many ended after a start is the sum from it to the newest, so a start and an end
/// cost the same whatever is held. A copyable value of fixed size; `fire` alone allocates, in its
/// argument. Thread: its owner's only.
class HoldWatch {
 public:
  HoldWatch();

  /// A note started, down before or not; it may stay down to `due_ns`.
  void start(notes::NoteKey key, std::int64_t due_ns);
  /// A note that was down ended. Returns the notes of its channel, all past their limit, for which
  /// it was the last of the 8.
  notes::NoteMask end(notes::NoteKey key);

  /// At or before the earliest limit that may be passed; `no_deadline_ns` if no note is watched.
  [[nodiscard]] std::int64_t deadline_ns() const { return earliest_ns_; }
  /// Lets that deadline pass; appends the notes held too long while 8 others ended.
  void fire(std::vector<notes::NoteKey>& stuck);
  /// Watches none of the notes that are down now.
  void forget();

 private:
  enum class State : std::uint8_t { up, waiting, overdue, done };
  static constexpr std::uint8_t channel_count = 16;
  static constexpr std::uint8_t ring = 128;  ///< links oldest and newest

  struct ChannelHolds {
    std::array<std::uint8_t, 129> older{};
    std::array<std::uint8_t, 129> newer{};
    std::array<std::uint8_t, 129> passed{};  ///< ended notes counted here, at most 8
    std::array<State, 128> state{};
    std::array<std::int64_t, 128> due_ns{};
    int overdue = 0;
  };

  static void unlink(ChannelHolds& channel, std::uint8_t number, int ended);
  static notes::NoteMask take_ripe(ChannelHolds& channel);

  std::array<ChannelHolds, channel_count> channels_;
  std::int64_t earliest_ns_ = no_deadline_ns;
};

}  // namespace strumwright::diagnosis
