// core/diagnosis/burst_watch.cpp
#include "core/diagnosis/burst_watch.h"

#include <algorithm>
#include <utility>

namespace strumwright::diagnosis {
namespace {

constexpr std::size_t least_missing = 2;

/// The newest start of each note of the stroke, in starting order: a note that was doubled keeps
/// its first place.
std::vector<LoggedStart> notes_of(std::span<const LoggedStart> starts) {
  std::vector<LoggedStart> notes;
  std::array<notes::NoteMask, 16> seen{};
  for (const auto& start : starts) {
    auto& mask = seen[start.key.channel.index & 15U];
    if (!mask.has(start.key.number)) {
      mask.add(start.key.number);
      notes.push_back(start);
    } else {
      *std::find_if(notes.begin(), notes.end(),
                    [&start](const LoggedStart& known) { return known.key == start.key; }) = start;
    }
  }
  return notes;
}

bool happened_before(std::uint64_t order, std::uint64_t limit) {
  return order != 0 && order < limit;
}

bool too_few_left(std::span<const LoggedStart> starts, std::uint64_t order) {
  return std::count_if(starts.begin(), starts.end(), [order](const LoggedStart& start) {
           return !happened_before(start.end_order, order);
         }) < static_cast<std::ptrdiff_t>(least_missing);
}

}  // namespace

std::optional<Burst> burst_before(std::span<const LoggedStart> starts, std::int64_t stroke_ns,
                                  std::uint64_t order) {
  if (too_few_left(starts, order)) return std::nullopt;  // the usual case, without allocation
  Burst burst;
  burst.stroke_ns = stroke_ns;
  std::uint64_t last_order = 0;
  for (const auto& start : notes_of(starts)) {
    const bool next = burst.came == burst.notes.size();
    burst.notes.push_back({start.key, start.order});
    if (happened_before(start.restart_order, order)) return std::nullopt;
    if (!happened_before(start.end_order, order)) continue;
    const bool close = burst.came == 0 || start.end_ns - burst.last_ns <= burst_gap_ns;
    if (!next || !close || start.end_order < last_order || !start.released) return std::nullopt;
    ++burst.came;
    burst.last_ns = start.end_ns;
    burst.last_byte = start.end_byte;
    last_order = start.end_order;
  }
  if (burst.missing().size() < least_missing) return std::nullopt;
  return burst;
}

bool Burst::misses(std::uint64_t start_order) const {
  const auto rest = missing();
  return std::any_of(rest.begin(), rest.end(),
                     [start_order](const Note& note) { return note.start_order == start_order; });
}

void BurstWatch::add(Burst burst) {
  for (const auto& note : burst.missing()) lost(note.key);
  if (free_.empty()) {
    bursts_.emplace_back();
    free_.push_back(static_cast<std::uint16_t>(bursts_.size()));
  }
  const std::uint16_t place = free_.back();
  free_.pop_back();
  for (const auto& note : burst.missing()) place_of_[index_of(note.key)] = place;
  bursts_[place - 1U] = std::move(burst);
}

void BurstWatch::released(notes::NoteKey key, std::int64_t t_ns, std::uint64_t byte) {
  const std::uint16_t place = place_of_[index_of(key)];
  if (place == 0) return;
  auto& burst = bursts_[place - 1U];
  const bool in_order = burst.missing().front().key == key;
  const bool close = burst.came == 0 || t_ns - burst.last_ns <= burst_gap_ns;
  if (!in_order || !close || burst.missing().size() <= least_missing) {
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
  for (const auto& note : burst.missing()) place_of_[index_of(note.key)] = 0;
  burst.notes.clear();
  burst.came = 0;
  free_.push_back(place);
}

bool BurstWatch::missing(notes::NoteKey key) const {
  const std::uint16_t place = place_of_[index_of(key)];
  return place != 0 && bursts_[place - 1U].is_short();
}

Burst BurstWatch::take(notes::NoteKey key) {
  const std::uint16_t place = place_of_[index_of(key)];
  Burst burst = bursts_[place - 1U];
  drop(place);
  return burst;
}

}  // namespace strumwright::diagnosis
