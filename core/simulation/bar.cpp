// core/simulation/bar.cpp
#include "core/simulation/bar.h"

#include <algorithm>

#include "core/midi/status.h"

namespace strumwright::simulation {
namespace {

/// Long enough for the wire to have carried the last burst of releases.
constexpr std::int64_t after_release_ns = 40'000'000;

/// Longer than the gap that parts strokes, so that a stroke stands alone.
constexpr std::int64_t rest_between_ns = 140'000'000;

}  // namespace

std::int64_t Bar::quiet_ns() const {
  std::int64_t latest_ns = 0;
  for (const auto& note : notes) latest_ns = std::max(latest_ns, note.off_ns);
  for (const auto& step : extra) latest_ns = std::max(latest_ns, step.t_ns);
  return latest_ns + after_release_ns;
}

void Bar::delay_from(std::size_t k, std::int64_t by_ns) {
  for (std::size_t i = k; i < notes.size(); ++i) {
    notes[i].on_ns += by_ns;
    notes[i].off_ns += by_ns;
  }
}

Bar play(const StrokePlan& stroke, std::int64_t start_ns, bool ring_on, Hand& hand) {
  Bar bar;
  bar.stroke = stroke;
  bar.rest_ns = rest_between_ns;
  std::int64_t on_ns = start_ns;
  for (std::size_t k = 0; k < stroke.strings.size(); ++k) {
    PlayedNote note;
    note.string = stroke.strings[k];
    note.note = note.off_note = Heron::note_of(stroke.chord, note.string);
    note.on_ns = on_ns;
    note.off_ns = on_ns + hand.about(ring_ns);
    bar.notes.push_back(note);
    if (k < stroke.gaps_ns.size()) on_ns += stroke.gaps_ns[k];
  }
  if (!ring_on) return bar;
  // One nanosecond apart keeps their order; the wire spaces them.
  std::int64_t off_ns = bar.last_on_ns() + hand.about(ring_ns);
  for (auto& note : bar.notes) note.off_ns = off_ns++;
  return bar;
}

Step release_step(std::int64_t t_ns, std::uint8_t note, std::uint8_t channel, ReleaseStyle style) {
  if (style == ReleaseStyle::velocity_zero) {
    return Step::message(t_ns, midi::note_on | channel, note, 0);
  }
  // Source: MIDI 1.0 Detailed Specification 4.2: 64 from a sender that senses no release velocity.
  return Step::message(t_ns, midi::note_off | channel, note, 64);
}

std::vector<Step> steps_of(const Bar& bar, ReleaseStyle style) {
  std::vector<Step> steps = bar.extra;
  for (const auto& note : bar.notes) {
    steps.push_back(Step::message(note.on_ns, midi::note_on, note.note, Heron::velocity));
    steps.back().mark = note.on_mark;
    if (!note.released) continue;
    steps.push_back(release_step(note.off_ns, note.off_note, note.off_channel, style));
    steps.back().mark = note.off_mark;
  }
  std::stable_sort(steps.begin(), steps.end(),
                   [](const Step& a, const Step& b) { return a.t_ns < b.t_ns; });
  return steps;
}

}  // namespace strumwright::simulation
