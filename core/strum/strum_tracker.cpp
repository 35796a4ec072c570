// core/strum/strum_tracker.cpp
#include "core/strum/strum_tracker.h"

#include <algorithm>
#include <utility>

#include "core/strum/stroke_measures.h"

namespace strumwright::strum {
namespace {

/// Room that a strum seldom needs more of, so that it grows once.
constexpr std::size_t usual_onsets = 32;

}  // namespace

StrumTracker::StrumTracker(StrumSettings settings) : next_settings_(settings) {}

void StrumTracker::set(StrumSettings settings) { next_settings_ = settings; }

void StrumTracker::push(const Onset& onset, std::vector<Stroke>& finished) {
  Onset taken = onset;
  taken.t_ns = std::max(onset.t_ns, newest_ns_);
  advance(taken.t_ns, finished);  // rule 1
  newest_ns_ = taken.t_ns;
  if (!open_) {
    begin(taken, next_settings_);
    return;
  }
  if (!waiting_.empty()) {
    const bool same = waiting_.front().onset.place == taken.place;
    if (same && waiting_.size() < limits::stroke_onsets) {
      waiting_.push_back({taken, next_settings_});
      return;
    }
    settle(taken.place, finished);
  }
  take(taken, finished);
}

void StrumTracker::advance(std::int64_t t_ns, std::vector<Stroke>& finished) {
  if (open_ && t_ns > newest_ns_ + settings_.gap_ns) finish(finished);
}

void StrumTracker::finish(std::vector<Stroke>& finished) {
  if (!open_) return;
  settle(std::nullopt, finished);
  close(finished);
}

std::optional<std::int64_t> StrumTracker::deadline_ns() const {
  if (!open_) return std::nullopt;
  return newest_ns_ + settings_.gap_ns;
}

std::optional<Stroke> StrumTracker::current() const {
  if (!open_) return std::nullopt;
  if (waiting_.empty()) {
    Stroke stroke = stroke_;
    measure(stroke);
    return stroke;
  }
  StrumTracker ended = *this;
  std::vector<Stroke> finished;
  ended.finish(finished);
  return std::move(finished.back());
}

/// Decides at once what needs no look ahead (all but rule 3).
void StrumTracker::take(const Onset& onset, std::vector<Stroke>& finished) {
  if (goes_against(stroke_.onsets[last_step_].place, onset.place)) {
    waiting_.push_back({onset, next_settings_});
    return;
  }
  place(onset, next_settings_, finished);
}

/// Decides all that waits; `next_place` is where the hand went next, null if there was a gap.
void StrumTracker::settle(std::optional<std::uint8_t> next_place, std::vector<Stroke>& finished) {
  for (const Waiting& waiting : waiting_) decide(waiting, next_place, finished);
  waiting_.clear();
}

/// Rule 3 with what came next, then the others.
void StrumTracker::decide(const Waiting& waiting, std::optional<std::uint8_t> next_place,
                          std::vector<Stroke>& finished) {
  const Onset& onset = waiting.onset;
  const bool turns = next_place && goes_against(stroke_.onsets[last_step_].place, onset.place) &&
                     goes_against(onset.place, *next_place);
  if (turns && started_.count() > 2) {
    close(finished);
    begin(onset, waiting.settings);
    return;
  }
  if (turns) {
    direction_ = -direction_;
    stroke_.onsets.front().role = Role::early;
  }
  place(onset, waiting.settings, finished);
}

/// Rules 2 and 4 to 6. Rule 2 needs no line of its own: an onset that repeats the one before it
/// goes where that one went, by rule 3 as well, and is then a double by rule 4.
void StrumTracker::place(const Onset& onset, StrumSettings settings,
                         std::vector<Stroke>& finished) {
  if (started_[onset.place]) {
    if (onset.t_ns - place_ns_[onset.place] <= settings_.refractory_ns) {
      add_double(onset);
    } else {
      close(finished);
      begin(onset, settings);
    }
    return;
  }
  Onset& before = stroke_.onsets[last_step_];
  if (goes_against(before.place, onset.place)) before.role = Role::early;
  add_step(onset);
}

void StrumTracker::begin(const Onset& onset, StrumSettings settings) {
  settings_ = settings;
  open_ = true;
  stroke_ = Stroke{};
  stroke_.onsets.reserve(usual_onsets);
  stroke_.start_ns = onset.t_ns;
  stroke_.held_through = onset.down_before;
  direction_ = 0;
  started_.reset();
  add_step(onset);
}

void StrumTracker::close(std::vector<Stroke>& finished) {
  measure(stroke_);
  finished.push_back(std::move(stroke_));
  open_ = false;
}

void StrumTracker::add_step(Onset onset) {
  onset.role = Role::step;
  if (direction_ == 0 && !stroke_.onsets.empty()) {
    direction_ = onset.place > stroke_.onsets.front().place ? 1 : -1;
  }
  last_step_ = stroke_.onsets.size();
  stroke_.onsets.push_back(onset);
  started_.set(onset.place);
  remember(onset);
}

void StrumTracker::add_double(Onset onset) {
  onset.role = Role::doubled;
  onset.doubled_after_ns = onset.t_ns - place_ns_[onset.place];
  onset.doubles_other_channel = onset.channel != place_channel_[onset.place];
  if (stroke_.onsets.size() - started_.count() < doubles_kept) {
    stroke_.onsets.push_back(onset);
  } else {
    ++stroke_.onsets_left_out;
  }
  remember(onset);
}

void StrumTracker::remember(const Onset& onset) {
  place_ns_[onset.place] = onset.t_ns;
  place_channel_[onset.place] = onset.channel;
  stroke_.end_ns = onset.t_ns;
  stroke_.held_through = stroke_.held_through & onset.down_before;
}

bool StrumTracker::goes_against(std::uint8_t from, std::uint8_t to) const {
  return direction_ > 0 ? to < from : direction_ < 0 && to > from;
}

}  // namespace strumwright::strum
