// core/simulation/fault_picker.cpp
#include "core/simulation/fault_picker.h"

#include <algorithm>

#include "core/simulation/fault_maker.h"

namespace strumwright::simulation {

using diagnosis::Rule;

FaultPlace place_of(Rule rule) {
  switch (rule) {
    case Rule::wire_silent:
      return FaultPlace::session;
    case Rule::wire_joined:
    case Rule::wire_backlog:
      return FaultPlace::opening;
    case Rule::wire_stray_data:
    case Rule::wire_cut_short:
    case Rule::wire_undefined_status:
    case Rule::wire_sysex_open:
    case Rule::wire_sysex_empty:
    case Rule::wire_eox_alone:
    case Rule::wire_suspect_status:
    case Rule::wire_text:
    case Rule::wire_load:
    case Rule::note_off_unmatched:
    case Rule::note_flash:
    case Rule::strum_doubled:
    case Rule::strum_wire_limited:
    case Rule::timing_stall:
    case Rule::control_flood:
      return FaultPlace::stroke;
    case Rule::chord_unknown:  // an older note may lend the stroke a name
    case Rule::wire_status_age:
    case Rule::note_stuck:
    case Rule::note_on_twice:
    case Rule::note_swapped_off:
    case Rule::note_channel_crossed:
    case Rule::note_burst_short:
    case Rule::note_all_off_only:
    case Rule::timing_sense_lost:
      return FaultPlace::when_clear;
    default:
      return FaultPlace::never;
  }
}

std::vector<Rule> simulated_rules() {
  std::vector<Rule> rules;
  for (std::size_t index = 0; index < diagnosis::rule_count; ++index) {
    const auto rule = static_cast<Rule>(index);
    if (place_of(rule) != FaultPlace::never) rules.push_back(rule);
  }
  return rules;
}

FaultPicker::FaultPicker(std::span<const FaultRate> rates, std::uint64_t seed) : random_(seed) {
  for (const auto& wanted : rates) {
    const auto place = place_of(wanted.rule);
    if (wanted.rate <= 0.0 || place == FaultPlace::never) continue;
    if (place == FaultPlace::session || place == FaultPlace::opening) {
      once_.push_back(wanted.rule);
    } else {
      rates_.push_back(wanted);
    }
  }
}

bool FaultPicker::wants(Rule rule) const {
  return std::find(once_.begin(), once_.end(), rule) != once_.end();
}

void FaultPicker::draw() {
  for (const auto& wanted : rates_) {
    const bool hit = random_.chance(wanted.rate);
    const bool waits = std::find(due_.begin(), due_.end(), wanted.rule) != due_.end();
    if (hit && !waits) due_.push_back(wanted.rule);
  }
}

std::optional<Rule> FaultPicker::take(bool clear, std::int64_t left_ns) {
  const auto found = std::find_if(due_.begin(), due_.end(), [&](Rule rule) {
    return (clear || place_of(rule) == FaultPlace::stroke) && left_ns >= time_for(rule);
  });
  if (found == due_.end()) return std::nullopt;
  const Rule rule = *found;
  due_.erase(found);
  return rule;
}

}  // namespace strumwright::simulation
