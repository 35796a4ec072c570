// core/diagnosis/hold_watch.cpp
#include "core/diagnosis/hold_watch.h"

#include <algorithm>

namespace strumwright::diagnosis {

HoldWatch::HoldWatch() {
  for (auto& channel : channels_) {
    channel.older[ring] = ring;
    channel.newer[ring] = ring;
  }
}

void HoldWatch::start(notes::NoteKey key, std::int64_t due_ns) {
  auto& channel = channels_[key.channel.index & 15U];
  const std::uint8_t number = key.number & 127U;
  if (channel.state[number] != State::up) unlink(channel, number, 0);
  const std::uint8_t newest = channel.older[ring];
  channel.older[number] = newest;
  channel.newer[number] = ring;
  channel.newer[newest] = number;
  channel.older[ring] = number;
  channel.passed[number] = 0;
  channel.state[number] = State::waiting;
  channel.due_ns[number] = due_ns;
  earliest_ns_ = std::min(earliest_ns_, due_ns);
}

notes::NoteMask HoldWatch::end(notes::NoteKey key) {
  auto& channel = channels_[key.channel.index & 15U];
  const std::uint8_t number = key.number & 127U;
  if (channel.state[number] == State::up) return {};
  unlink(channel, number, 1);
  channel.state[number] = State::up;
  return channel.overdue > 0 ? take_ripe(channel) : notes::NoteMask{};
}

/// Takes a note out of the list; what it counted, and itself if it ended, goes to the next older,
/// so that the sums of all that are older grow by just that.
void HoldWatch::unlink(ChannelHolds& channel, std::uint8_t number, int ended) {
  const std::uint8_t older = channel.older[number];
  const std::uint8_t newer = channel.newer[number];
  channel.newer[older] = newer;
  channel.older[newer] = older;
  const int counted = channel.passed[older] + channel.passed[number] + ended;
  channel.passed[older] = static_cast<std::uint8_t>(std::min(counted, others_before_stuck));
  if (channel.state[number] == State::overdue) --channel.overdue;
}

notes::NoteMask HoldWatch::take_ripe(ChannelHolds& channel) {
  notes::NoteMask ripe;
  int ended = 0;
  for (std::uint8_t at = channel.older[ring]; at != ring; at = channel.older[at]) {
    ended += channel.passed[at];
    if (channel.state[at] != State::overdue || ended < others_before_stuck) continue;
    channel.state[at] = State::done;
    --channel.overdue;
    ripe.add(at);
  }
  return ripe;
}

void HoldWatch::fire(std::vector<notes::NoteKey>& stuck) {
  const std::int64_t now_ns = earliest_ns_;
  earliest_ns_ = no_deadline_ns;
  for (std::uint8_t index = 0; index < channel_count; ++index) {
    auto& channel = channels_[index];
    for (std::uint8_t at = channel.newer[ring]; at != ring; at = channel.newer[at]) {
      if (channel.state[at] != State::waiting) continue;
      if (channel.due_ns[at] > now_ns) {
        earliest_ns_ = std::min(earliest_ns_, channel.due_ns[at]);
      } else {
        channel.state[at] = State::overdue;
        ++channel.overdue;
      }
    }
    if (channel.overdue == 0) continue;
    take_ripe(channel).for_each([&](std::uint8_t number) { stuck.push_back({{index}, number}); });
  }
}

void HoldWatch::forget() { *this = HoldWatch(); }

}  // namespace strumwright::diagnosis
