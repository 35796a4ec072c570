// core/diagnosis/burst_watch.cpp
#include "core/diagnosis/burst_watch.h"

#include <algorithm>
#include <optional>
#include <utility>

namespace strumwright::diagnosis {
namespace {

constexpr std::size_t least_released = 2;
constexpr std::size_t least_missing = 2;

/// A note of a stroke and the newest of its starts there.
struct Struck {
  notes::NoteKey key;
  std::int64_t newest_ns;
};

/// The notes in starting order; one that was doubled keeps its first place.
std::vector<Struck> notes_of(const strum::Stroke& stroke) {
  std::vector<Struck> notes;
  std::array<notes::NoteMask, 16> seen{};
  for (const auto& onset : stroke.onsets) {
    const notes::NoteKey key{onset.channel, onset.note};
    auto& mask = seen[onset.channel.index & 15U];
    if (!mask.has(onset.note)) {
      mask.add(onset.note);
      notes.push_back({key, onset.t_ns});
      continue;
    }
    const auto known = std::find_if(notes.begin(), notes.end(),
                                    [key](const Struck& struck) { return struck.key == key; });
    known->newest_ns = onset.t_ns;
  }
  return notes;
}

/// Whether the start at `t_ns` has not ended yet; it may have been followed by another.
bool still_down(const NoteState& note, std::int64_t t_ns) {
  return note.down && note.down_ns <= t_ns;
}

/// Whether the start at `t_ns` ended by a release, and is known to have.
bool was_released(const NoteState& note, std::int64_t t_ns) {
  return note.end_order != 0 && note.ended_start_ns == t_ns && is_release(note.ended_by);
}

bool may_miss_a_tail(const strum::Stroke& stroke, const NoteTable& table) {
  if (stroke.onsets.size() < least_released + least_missing || stroke.onsets_left_out > 0) {
    return false;
  }
  const auto down =
      std::count_if(stroke.onsets.begin(), stroke.onsets.end(), [&table](const auto& onset) {
        return table.at({onset.channel, onset.note}).down;
      });
  return down >= static_cast<std::ptrdiff_t>(least_missing);
}

/// The burst as far as it has come; none if the releases so far are not the stroke's first notes
/// in order, close enough together.
std::optional<Burst> burst_of(const strum::Stroke& stroke, const NoteTable& table) {
  Burst burst;
  burst.start_ns = stroke.start_ns;
  burst.end_ns = stroke.end_ns;
  std::uint64_t last_order = 0;
  for (const auto& [key, newest_ns] : notes_of(stroke)) {
    const auto& note = table.at(key);
    const bool next = burst.came == burst.notes.size();
    burst.notes.push_back(key);
    if (still_down(note, newest_ns)) continue;
    const bool close = burst.came == 0 || note.end_ns - burst.last_ns <= burst_gap_ns;
    if (!next || !close || note.end_order < last_order || !was_released(note, newest_ns)) {
      return std::nullopt;
    }
    ++burst.came;
    burst.last_ns = note.end_ns;
    burst.last_byte = note.end_byte;
    last_order = note.end_order;
  }
  if (burst.notes.size() - burst.came < least_missing) return std::nullopt;
  return burst;
}

}  // namespace

void BurstWatch::stroke(const strum::Stroke& stroke, const NoteTable& table) {
  if (!may_miss_a_tail(stroke, table)) return;
  if (auto burst = burst_of(stroke, table)) add(std::move(*burst));
}

void BurstWatch::add(Burst burst) {
  for (std::size_t i = burst.came; i < burst.notes.size(); ++i) lost(burst.notes[i]);
  if (free_.empty()) {
    bursts_.emplace_back();
    free_.push_back(static_cast<std::uint16_t>(bursts_.size()));
  }
  const std::uint16_t place = free_.back();
  free_.pop_back();
  for (std::size_t i = burst.came; i < burst.notes.size(); ++i) {
    place_of_[index_of(burst.notes[i])] = place;
  }
  bursts_[place - 1U] = std::move(burst);
}

void BurstWatch::released(notes::NoteKey key, std::int64_t t_ns, std::uint64_t byte) {
  const std::uint16_t place = place_of_[index_of(key)];
  if (place == 0) return;
  auto& burst = bursts_[place - 1U];
  const bool in_order = burst.notes[burst.came] == key;
  const bool close = burst.came == 0 || t_ns - burst.last_ns <= burst_gap_ns;
  if (!in_order || !close || burst.notes.size() - burst.came - 1 < least_missing) {
    drop(place);
    return;
  }
  place_of_[index_of(key)] = 0;
  ++burst.came;
  burst.last_ns = t_ns;
  burst.last_byte = byte;
}

void BurstWatch::lost(notes::NoteKey key) {
  const std::uint16_t place = place_of_[index_of(key)];
  if (place != 0) drop(place);
}

void BurstWatch::drop(std::uint16_t place) {
  auto& burst = bursts_[place - 1U];
  for (std::size_t i = burst.came; i < burst.notes.size(); ++i) {
    place_of_[index_of(burst.notes[i])] = 0;
  }
  burst.notes.clear();
  free_.push_back(place);
}

bool BurstWatch::missing(notes::NoteKey key) const {
  const std::uint16_t place = place_of_[index_of(key)];
  return place != 0 && bursts_[place - 1U].came >= least_released;
}

Burst BurstWatch::take(notes::NoteKey key) {
  const std::uint16_t place = place_of_[index_of(key)];
  Burst burst = bursts_[place - 1U];
  drop(place);
  return burst;
}

}  // namespace strumwright::diagnosis
