// core/diagnosis/start_log.cpp
#include "core/diagnosis/start_log.h"

#include <algorithm>

#include "core/diagnosis/note_table.h"

namespace strumwright::diagnosis {
namespace {

constexpr std::uint8_t drum_channel = 9;

}  // namespace

void StartLog::start(notes::NoteKey key, std::uint64_t order) {
  if (key.channel.index == drum_channel) return;
  auto& place = place_of_[index_of(key)];
  if (place > taken_) starts_[place - taken_ - 1].restart_order = order;
  place = 0;
  if (starts_.size() >= limits::stroke_onsets) return;
  starts_.push_back({.key = key, .order = order});
  place = taken_ + starts_.size();
}

void StartLog::end(const notes::NoteFact& fact, std::uint64_t order) {
  auto& place = place_of_[index_of(fact.key)];
  if (place > taken_) {
    auto& start = starts_[place - taken_ - 1];
    start.released = is_release(fact.how);
    start.end_order = order;
    start.end_byte = fact.byte;
    start.end_ns = fact.t_ns;
    if (start.released) ++releases_;
  }
  place = 0;
}

std::span<const LoggedStart> StartLog::take(const strum::Stroke& stroke) {
  final_.clear();
  std::size_t at = 0;
  for (const auto& onset : stroke.onsets) {
    const notes::NoteKey key{onset.channel, onset.note};
    while (at < starts_.size() && starts_[at].key != key) ++at;
    if (at == starts_.size()) break;
    final_.push_back(starts_[at++]);
  }
  if (final_.size() < stroke.onsets.size() || stroke.onsets_left_out > 0) {
    final_.clear();
    at = starts_.size();  // out of step: begin anew
  }
  starts_.erase(starts_.begin(), starts_.begin() + static_cast<std::ptrdiff_t>(at));
  taken_ += at;
  releases_ = static_cast<std::size_t>(std::count_if(
      starts_.begin(), starts_.end(), [](const LoggedStart& start) { return start.released; }));
  return final_;
}

}  // namespace strumwright::diagnosis
