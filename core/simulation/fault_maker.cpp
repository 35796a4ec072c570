// core/simulation/fault_maker.cpp
#include "core/simulation/fault_maker.h"

#include <algorithm>
#include <cassert>

#include "core/midi/status.h"

namespace strumwright::simulation {
namespace {

using diagnosis::Rule;

constexpr std::int64_t ms = 1'000'000;
constexpr unsigned volume = 7;
constexpr unsigned all_notes_off = 123;

/// A note hangs so long after a swapped or crossed release: seen by the eye, gone before it spoils
/// the rest.
constexpr std::int64_t hang_ns = 3'000 * ms;

/// One bar's fault in the making.
struct Maker {
  Rule rule;
  const FaultSettings& settings;
  Random& random;
  Bar& bar;

  /// A note with neighbours on both sides.
  std::size_t middle() {
    return static_cast<std::size_t>(
        random.between(1, static_cast<std::int64_t>(bar.notes.size()) - 2));
  }
  unsigned volume_value() { return static_cast<unsigned>(random.between(40, 120)); }
  [[nodiscard]] FaultMark mark(const PlayedNote& note) const {
    return {rule, note.note, note.string, 0};
  }
  void add(Step step, std::optional<FaultMark> fault = std::nullopt) {
    step.mark = fault;
    bar.extra.push_back(step);
  }
  /// After the last release, where nothing sounds. `later_ns`: from the first byte to the fault.
  void add_when_quiet(std::initializer_list<unsigned> bytes, std::int64_t later_ns = 0) {
    add(Step::raw(bar.quiet_ns(), bytes), FaultMark{rule, {}, {}, later_ns});
  }
  /// Right before a string's start, whose status byte then follows at once.
  void add_before(const PlayedNote& note, std::initializer_list<unsigned> bytes) {
    add(Step::raw(note.on_ns - 1, bytes), FaultMark{rule, {}, {}, 0});
  }
  /// Makes a note the last to be released, so that it alone is down then.
  PlayedNote& release_last(std::size_t k) {
    auto& note = bar.notes[k];
    note.off_ns = bar.quiet_ns();
    return note;
  }
  void leave_hanging(const PlayedNote& note, std::int64_t heal_ns) {
    bar.hanging = Hanging{note.note, heal_ns};
    bar.rest_ns = std::max(bar.rest_ns, 400 * ms);
  }

  void stuck();
  void off_unmatched();
  void on_twice();
  void swapped_off();
  void channel_crossed();
  void burst_short();
  void flash();
  void all_off_only();
  void cut_short();
  void undefined_status();
  void suspect_status();
  void text();
  void load();
  void doubled();
  void wire_limited();
  void sense_lost();
  void stall();
  void unknown_chord();
  void flood();
  void put();
};

void Maker::stuck() {
  auto& note = bar.notes[middle()];
  note.released = false;
  note.on_mark = mark(note);
  leave_hanging(note, note.on_ns + settings.hold_limit_ns + 1'000 * ms);
}

void Maker::off_unmatched() {
  // The newest release again, before any other note has started.
  const auto last =
      std::max_element(bar.notes.begin(), bar.notes.end(),
                       [](const auto& a, const auto& b) { return a.off_ns < b.off_ns; });
  add(release_step(bar.quiet_ns(), last->note, 0, settings.release), mark(*last));
}

void Maker::on_twice() {
  auto& note = bar.notes[middle()];
  note.released = false;
  bar.repeated = true;
  bar.next_mark = mark(note);
}

void Maker::swapped_off() {
  auto& note = release_last(middle());
  const auto sounds = [this](std::uint8_t number) {
    return std::any_of(bar.notes.begin(), bar.notes.end(),
                       [number](const auto& other) { return other.note == number; });
  };
  // The same string's note under the first other root that shares no note with this stroke there.
  HeronChord other = bar.stroke.chord;
  do {
    other.root = static_cast<std::uint8_t>((other.root + 7) % 12);
    note.off_note = Heron::note_of(other, note.string);
  } while (sounds(note.off_note));
  note.off_mark = FaultMark{rule, note.off_note, note.string, 0};
  leave_hanging(note, note.off_ns + hang_ns);
}

void Maker::channel_crossed() {
  auto& note = release_last(middle());
  note.off_channel = 1;
  note.off_mark = mark(note);
  leave_hanging(note, note.off_ns + hang_ns);
}

void Maker::burst_short() {
  constexpr std::size_t missing = 3;
  std::int64_t off_ns = bar.last_on_ns() + ring_ns;
  for (auto& note : bar.notes) note.off_ns = off_ns++;
  const auto tail = bar.notes.end() - missing;
  for (auto note = tail; note != bar.notes.end(); ++note) note->released = false;
  (tail - 1)->off_mark = mark(*tail);  // the last release that came
  bar.repeated = true;
}

void Maker::flash() {
  auto& note = bar.notes[middle()];
  note.off_ns = note.on_ns + 1;
  note.on_mark = mark(note);
}

void Maker::all_off_only() {
  for (auto& note : bar.notes) note.released = false;
  add(Step::message(bar.last_on_ns() + ring_ns, midi::control_change, all_notes_off, 0),
      FaultMark{rule, {}, {}, 0});
  // The notes' own releases would still count for a second.
  bar.rest_ns = 1'300 * ms;
}

void Maker::cut_short() {
  const auto& note = bar.notes[middle()];
  add_before(note, {midi::note_on, note.note});
}

void Maker::undefined_status() {
  static constexpr unsigned undefined[] = {0xF4, 0xF5, 0xF9, 0xFD};
  add_when_quiet({undefined[random.below(std::size(undefined))]});
}

void Maker::suspect_status() {
  // A knob's message, then a release whose own status byte was left out.
  const auto& note = bar.notes.back();
  auto step =
      Step::raw(bar.quiet_ns(), {midi::control_change, volume, volume_value(), note.note, 0});
  step.mark = FaultMark{rule, note.note, note.string, 3 * midi::byte_ns};
  bar.extra.push_back(step);
}

void Maker::text() {
  add_when_quiet({0xF6, 'n', '=', '6', '0', ' ', 'v', '=', '8', '0', '\r', '\n'}, midi::byte_ns);
}

void Maker::load() {
  // A little over 100 ms back to back, every value another.
  const std::int64_t from_ns = bar.quiet_ns();
  for (unsigned k = 0; k < 110; ++k) {
    auto step = Step::raw(from_ns + k, {midi::pitch_bend, k, 0x40});
    if (k == 0) step.mark = FaultMark{rule, {}, {}, 0};
    bar.extra.push_back(step);
  }
  // Back to the centre.
  bar.extra.push_back(Step::message(bar.quiet_ns() + 200 * ms, midi::pitch_bend, 0, 0x40));
}

void Maker::doubled() {
  const std::size_t k = middle();
  bar.delay_from(k + 1, 12 * ms);
  const auto& note = bar.notes[k];
  add(release_step(note.on_ns + 5 * ms, note.note, 0, settings.release));
  add(Step::message(note.on_ns + 10 * ms, midi::note_on, note.note, Heron::velocity), mark(note));
}

void Maker::wire_limited() {
  std::int64_t on_ns = bar.notes.front().on_ns;
  for (auto& note : bar.notes) note.on_ns = on_ns++;
  bar.notes.front().on_mark = FaultMark{rule, {}, {}, 0};
}

void Maker::sense_lost() {
  add_when_quiet({midi::active_sensing}, 300 * ms);
  bar.rest_ns = 450 * ms;
}

void Maker::stall() {
  const std::size_t k = middle();
  bar.delay_from(k, 30 * ms);
  auto& before = bar.notes[k - 1];
  before.on_mark = FaultMark{rule, {}, {}, 0};
  add(Step::message(before.on_ns + 3 * ms, midi::control_change, volume, volume_value()));
}

void Maker::unknown_chord() {
  // Both chromatic neighbours of a tone: no kind has three semitones in a row. The lowest note's
  // tone must not be among them, for without it the rest might have a name.
  const auto& lowest = bar.stroke.up ? bar.notes.front() : bar.notes.back();
  std::size_t k = middle();
  while (bar.notes[k].note % 12 == lowest.note % 12) k = middle();
  bar.delay_from(k, 12 * ms);
  bar.delay_from(k + 1, 12 * ms);
  const int up = bar.stroke.up ? 1 : -1;
  auto before = bar.notes[k];
  before.note = before.off_note = static_cast<std::uint8_t>(before.note - up);
  before.on_ns -= 11 * ms;
  auto after = bar.notes[k];
  after.note = after.off_note = static_cast<std::uint8_t>(after.note + up);
  after.on_ns += 11 * ms;
  bar.notes.front().on_mark = FaultMark{rule, before.note, before.string, 0};
  bar.notes.insert(bar.notes.begin() + static_cast<std::ptrdiff_t>(k) + 1, after);
  bar.notes.insert(bar.notes.begin() + static_cast<std::ptrdiff_t>(k), before);
}

void Maker::flood() {
  const std::int64_t from_ns = bar.quiet_ns();
  for (int k = 0; k < 30; ++k) {
    auto step = Step::message(from_ns + k * (20 * ms), midi::control_change, volume, 90);
    // The one that is more than 20 within a second.
    if (k == 20) step.mark = FaultMark{rule, {}, {}, 0};
    bar.extra.push_back(step);
  }
}

void Maker::put() {
  switch (rule) {
    case Rule::note_stuck:
      return stuck();
    case Rule::note_off_unmatched:
      return off_unmatched();
    case Rule::note_on_twice:
      return on_twice();
    case Rule::note_swapped_off:
      return swapped_off();
    case Rule::note_channel_crossed:
      return channel_crossed();
    case Rule::note_burst_short:
      return burst_short();
    case Rule::note_flash:
      return flash();
    case Rule::note_all_off_only:
      return all_off_only();
    // F6 ends the running status, so that what follows belongs to nothing.
    case Rule::wire_stray_data:
      return add_when_quiet({0xF6, 0x10, 0x20}, midi::byte_ns);
    case Rule::wire_cut_short:
      return cut_short();
    case Rule::wire_undefined_status:
      return undefined_status();
    case Rule::wire_sysex_open:
      return add_before(bar.notes[middle()], {midi::sysex_start, 0x7D, 0x01});
    case Rule::wire_sysex_empty:
      return add_when_quiet({midi::sysex_start, midi::sysex_end});
    case Rule::wire_eox_alone:
      return add_when_quiet({midi::sysex_end});
    case Rule::wire_suspect_status:
      return suspect_status();
    case Rule::wire_text:
      return text();
    case Rule::wire_status_age:
      bar.withholds_status = true;
      return;
    case Rule::wire_load:
      return load();
    case Rule::strum_doubled:
      return doubled();
    case Rule::strum_wire_limited:
      return wire_limited();
    case Rule::timing_sense_lost:
      return sense_lost();
    case Rule::timing_stall:
      return stall();
    case Rule::chord_unknown:
      return unknown_chord();
    case Rule::control_flood:
      return flood();
    default:
      assert(false && "no fault of a stroke");
  }
}

}  // namespace

std::int64_t time_for(Rule rule) {
  if (rule == Rule::wire_status_age) return withheld_status_ns + 2'000 * ms;
  return 3'000 * ms;
}

void put_in(Rule rule, const FaultSettings& settings, Random& random, Bar& bar) {
  Maker{rule, settings, random, bar}.put();
}

}  // namespace strumwright::simulation
