// core/diagnosis/symptoms.cpp
#include "core/diagnosis/symptoms.h"

#include <array>
#include <cstddef>
#include <iterator>

namespace strumwright::diagnosis {
namespace {

constexpr std::size_t most_rules = 4;

/// A row as it is written down: `Rule` has no empty value, so the count stands beside.
struct Row {
  const char* complaint;
  std::size_t count;
  std::array<Rule, most_rules> rules;
  const char* limit;
};

constexpr Row rows[] = {
    // Notes
    {"A note hangs when the chord changes while a string is held",
     2,
     {Rule::note_swapped_off, Rule::note_stuck},
     nullptr},
    {"A tone that two strings or two chords share dies too early, or stays",
     3,
     {Rule::note_on_twice, Rule::note_shared, Rule::note_off_unmatched},
     nullptr},
    {"Notes start on one channel and are released on another",
     1,
     {Rule::note_channel_crossed},
     nullptr},
    {"Strings are silent at low sensitivity",
     1,
     {Rule::note_off_unmatched},
     "A velocity scaled down to 0 is a release on the wire: it shows as one without a start."},
    {"Notes vanish or turn into others at the ends of a range",
     2,
     {Rule::wire_cut_short, Rule::wire_undefined_status},
     nullptr},
    {"A receiver seems to know no releases",
     0,
     {},
     "Releases by velocity zero are legal, so no finding is raised. The audit counts them beside "
     "all releases; if a receiver misreads them, send note off instead."},
    {"A wrong chord flashes by at each change", 1, {Rule::chord_passing}, nullptr},
    {"The last notes of a chord ring on after a quick change",
     1,
     {Rule::note_burst_short},
     nullptr},
    {"Program or volume is one off, or is sent over and over",
     4,
     {Rule::control_flood, Rule::control_off_range, Rule::control_unexpected,
      Rule::control_repeated},
     nullptr},
    {"Panic does not silence everything",
     2,
     {Rule::note_all_off_only, Rule::note_stuck},
     "What the receiver makes of a mode message cannot be heard here."},

    // Bytes
    {"Every other note of a chord is missing at some receivers",
     0,
     {},
     "The stream is legal and complete, so no finding is raised: that receiver or cable cannot do "
     "running status. The audit says how much of it was used; switch it off to compare."},
    {"A release turns into another message",
     2,
     {Rule::wire_suspect_status, Rule::note_stuck},
     nullptr},
    {"Data bytes are left over after a SysEx or system message",
     1,
     {Rule::wire_stray_data},
     nullptr},
    {"Nothing is heard after plugging in until the first chord change",
     2,
     {Rule::wire_status_age, Rule::wire_joined},
     nullptr},
    {"Digits or line ends stand among the bytes", 1, {Rule::wire_text}, nullptr},
    {"All that comes is rubbish",
     3,
     {Rule::wire_wrong_rate, Rule::wire_framing, Rule::wire_undefined_status},
     nullptr},
    {"The synthesizer goes silent after a while", 1, {Rule::timing_sense_lost}, nullptr},
    {"The first second after opening the port is odd",
     3,
     {Rule::wire_joined, Rule::wire_text, Rule::wire_stray_data},
     "That the board restarted because the port was opened cannot be seen in the bytes alone."},

    // Line
    {"Now and then a wrong note, worse when warm or on battery",
     3,
     {Rule::wire_clock, Rule::wire_clock_unsure, Rule::wire_framing},
     nullptr},
    {"The crystal does not divide to 31,250",
     2,
     {Rule::wire_clock, Rule::wire_clock_unsure},
     nullptr},
    {"Bytes break while strings are scanned or the display is written",
     2,
     {Rule::wire_jitter, Rule::wire_framing},
     nullptr},
    {"A software serial port is wrong in every byte",
     3,
     {Rule::wire_clock, Rule::wire_wrong_rate, Rule::wire_framing},
     nullptr},
    {"Pitches are wrong about half the time",
     4,
     {Rule::wire_jitter, Rule::wire_glitch, Rule::wire_framing, Rule::chord_wrong_note},
     nullptr},
    {"Nothing arrives at all", 2, {Rule::wire_silent, Rule::wire_break}, nullptr},
    {"Fine on one interface, bad on another",
     0,
     {},
     "One recording cannot tell: record the same playing through both paths and compare them."},
    {"Old notes come in a burst when the program is opened", 1, {Rule::wire_backlog}, nullptr},

    // Touch and buttons
    {"A held string lets go by itself",
     0,
     {},
     "A release by the sensor looks like one by the finger. Hold a string on purpose: lengths that "
     "pile up at one value are the sensor's."},
    {"A string is dead for seconds after a touch", 1, {Rule::strum_skipped}, nullptr},
    {"All strings fire together, again and again", 1, {Rule::touch_all_at_once}, nullptr},
    {"A string brings its neighbour along", 1, {Rule::strum_neighbour}, nullptr},
    {"It works on the bench and misfires on another supply",
     0,
     {},
     "Nobody can tell from the notes which were meant. Leave the instrument untouched on each "
     "supply and compare the recordings: every note is one too many."},
    {"A string fires like a machine gun", 2, {Rule::note_flash, Rule::strum_doubled}, nullptr},
    {"Notes come double", 2, {Rule::strum_doubled, Rule::note_flash}, nullptr},
    {"Strings trigger by themselves on a loud stage",
     0,
     {},
     "A note that nobody played looks like any other. Record the untouched instrument while the "
     "sound plays."},
    {"Three buttons give the chord of four", 1, {Rule::chord_wrong_note}, nullptr},
    {"Odd things happen from the fourth button or string on",
     2,
     {Rule::chord_wrong_note, Rule::touch_all_at_once},
     "A sagging supply shows in its effects alone: measure it while holding more and more."},
    {"A quick strum comes out in lumps, each in the same order", 1, {Rule::strum_scan}, nullptr},
    {"Playing stumbles when a control is touched", 1, {Rule::timing_stall}, nullptr},
};

constexpr std::span<const Rule> rules_of(const Row& row) { return {row.rules.data(), row.count}; }

constexpr auto build() {
  std::array<Symptom, std::size(rows)> built{};
  for (std::size_t i = 0; i < built.size(); ++i) {
    built[i] = {rows[i].complaint, rules_of(rows[i]), rows[i].limit};
  }
  return built;
}

constexpr auto all = build();

}  // namespace

std::span<const Symptom> symptoms() { return all; }

}  // namespace strumwright::diagnosis
