// core/diagnosis/finding_text.cpp
#include "core/diagnosis/finding_text.h"

#include <optional>
#include <string_view>
#include <tuple>

#include "core/diagnosis/figures.h"
#include "core/midi/status.h"

// What the evidence of a finding holds, by rule (`t_ns`, `byte`, `channel`, `note` are those of the
// message that the finding is about):
//
//   wire.joined, stray-data, text   count: bytes of the run
//   wire.cut-short                  amount: its status byte + 256 * data bytes that came
//   wire.undefined-status           amount: the status byte
//   wire.sysex-open                 count: bytes that came, F0 among them
//   wire.suspect-status             note, amount: the controller and its value, read as a note
//   wire.wrong-rate                 amount: the rate in baud that fits better
//   wire.status-age                 amount: ns without a status byte
//   wire.overflow                   count: bytes or messages lost; 0: not known
//   wire.load                       amount: highest load in 1/1000
//   note.stuck                      t_ns: the start; amount: ns that it has been down when judged
//   note.off-unmatched              amount: ns since the note's last release, -1 if it had none
//   note.on-twice                   other_ns: the start before; amount: ns since then
//   note.swapped-off,               other, other_ns: the note that hangs, its start;
//   note.channel-crossed            chord_before, chord_after (swapped-off only)
//   note.burst-short                t_ns: the last release that came; note: the first one missing;
//                                   listed, count: those missing; amount: releases that came;
//                                   other_ns: start of the stroke
//   note.flash                      t_ns: the start; amount: ns that it was down
//   note.all-off-only               listed, count: the notes; amount: the controller's number
//   strum.doubled                   amount: ns since the string's start before
//   strum.wire-limited              count: notes; amount: ns from first to last
//   timing.stall                    amount: ns between the two notes; other_ns: the second
//   chord.passing                   chord_before: the one that passed; chord_after: the next;
//                                   amount: ns that it lived
//   chord.unknown                   listed, count: the notes of the strum
//   control.flood                   amount: the repeated message, status * 65536 + data1 * 256 +
//                                   data2; count: times within a second

namespace strumwright::diagnosis {
namespace {

const char* message_word(std::uint8_t status) {
  switch (status & 0xF0U) {
    case midi::note_off:
      return "A note off";
    case midi::note_on:
      return "A note on";
    case midi::poly_pressure:
      return "A key pressure message";
    case midi::control_change:
      return "A control change";
    case midi::program_change:
      return "A program change";
    case midi::channel_pressure:
      return "A channel pressure message";
    case midi::pitch_bend:
      return "A pitch bend";
    default:
      return "A system message";
  }
}

/// Makes the sentences of one finding; a function a family of rules.
class Sentence {
 public:
  Sentence(const Finding& finding, Signs signs) : finding_(finding), signs_(signs) {}

  [[nodiscard]] std::string full() const;
  [[nodiscard]] std::string brief() const;

 private:
  [[nodiscard]] std::string cut_short() const;
  [[nodiscard]] std::string wire() const;
  [[nodiscard]] std::string stuck() const;
  [[nodiscard]] std::string off_unmatched() const;
  [[nodiscard]] std::string swapped_off() const;
  [[nodiscard]] std::string channel_crossed() const;
  [[nodiscard]] std::string burst_short() const;
  [[nodiscard]] std::string notes() const;
  [[nodiscard]] std::string chord_passing() const;
  [[nodiscard]] std::string control_flood() const;
  [[nodiscard]] std::string rest() const;

  /// "Ch 1: " or nothing.
  [[nodiscard]] std::string at_channel() const {
    return finding_.channel ? "Ch " + std::to_string(*finding_.channel) + ": " : "";
  }
  [[nodiscard]] std::string name(std::uint8_t note) const {
    return harmony::note_text(note, signs_);
  }
  [[nodiscard]] std::string note() const { return finding_.note ? name(*finding_.note) : "a note"; }
  [[nodiscard]] std::string other() const {
    return finding_.other ? name(finding_.other->number) : "another note";
  }
  [[nodiscard]] std::string amount_span() const { return span_text(finding_.amount); }
  [[nodiscard]] std::string list() const;
  [[nodiscard]] std::string bytes() const { return counted(finding_.count, "byte"); }

  const Finding& finding_;
  Signs signs_;
};

/// The listed notes, lowest first; a long list is cut, the count stands beside it.
std::string Sentence::list() const {
  constexpr int most_named = 8;
  std::string text;
  int named = 0;
  for (std::uint8_t number = 0; number < 128; ++number) {
    if (!finding_.listed.has(number)) continue;
    if (named == most_named) return text + " and more";
    if (named++ > 0) text += ", ";
    text += name(number);
  }
  return text;
}

std::string Sentence::cut_short() const {
  const auto status = static_cast<std::uint8_t>(finding_.amount);
  const std::string what = at_channel() + message_word(status) + " (" + hex_text(status) + ")";
  const std::string came =
      std::to_string(finding_.amount / 256) + " of " +
      counted(static_cast<std::uint64_t>(midi::data_bytes(status)), "data byte");
  if (finding_.at_end) return "The input ended inside a message. " + what + " had " + came + ".";
  return what + " was broken off after " + came + ".";
}

std::string Sentence::wire() const {
  switch (finding_.rule) {
    case Rule::wire_joined:
      return "The first " + counted(finding_.count, "data byte") +
             " came without a status: listening began in mid-message.";
    case Rule::wire_stray_data:
      return counted(finding_.count, "data byte") + " came while no status was in force.";
    case Rule::wire_cut_short:
      return cut_short();
    case Rule::wire_undefined_status:
      return hex_text(static_cast<std::uint8_t>(finding_.amount)) +
             " was sent, a status that MIDI does not define.";
    case Rule::wire_sysex_open:
      if (finding_.at_end) return "The input ended inside a SysEx, after " + bytes() + ".";
      return "A SysEx was ended by another status instead of F7, after " + bytes() + ".";
    case Rule::wire_suspect_status:
      if (!finding_.note) return rest();
      return at_channel() + "Controller " + std::to_string(*finding_.note) + " = " +
             std::to_string(finding_.amount) + " reads like " + note() +
             " of the stroke, sent without its note status.";
    case Rule::wire_text:
      return bytes() + " in a row read as printed text.";
    case Rule::wire_wrong_rate:
      return "The bytes fit " + std::to_string(finding_.amount) + " baud better than 31250.";
    case Rule::wire_status_age:
      return "Notes were sent for " + amount_span() + " without any status byte.";
    case Rule::wire_overflow:
      if (finding_.count == 0) return "Input was lost on this computer, how much is not known.";
      return std::to_string(finding_.count) + " bytes or messages were lost on this computer.";
    case Rule::wire_load:
      return "The line passed 90 % of what it can carry: " + percent_text(finding_.amount) +
             " of 100 ms.";
    default:
      return rest();
  }
}

std::string Sentence::stuck() const {
  const std::string so_far = at_channel() + note() + " was started and ";
  if (finding_.at_end) return so_far + "never released, " + amount_span() + " to the end.";
  return so_far + "is still down after " + amount_span() + ", while others came and went.";
}

std::string Sentence::off_unmatched() const {
  const std::string text = at_channel() + note() + " was released while not down";
  if (finding_.amount < 0) return text + "; it had no release before.";
  return text + ", " + amount_span() + " after its last release.";
}

std::string Sentence::swapped_off() const {
  std::string text = at_channel() + note() + " was released while not down, and " + other() +
                     " still sounds, " + span_text(finding_.t_ns - finding_.other_ns) + " old";
  if (finding_.chord_before && finding_.chord_after) {
    text += "; the chord went from " + harmony::to_text(*finding_.chord_before, signs_) + " to " +
            harmony::to_text(*finding_.chord_after, signs_);
  } else if (finding_.chord_before) {
    text += "; it was started under " + harmony::to_text(*finding_.chord_before, signs_);
  }
  return text + '.';
}

std::string Sentence::channel_crossed() const {
  const std::string down = finding_.other ? std::to_string(finding_.other->channel.number()) : "?";
  return at_channel() + note() + " was released here, but it was started on channel " + down +
         " and still sounds there.";
}

std::string Sentence::burst_short() const {
  return at_channel() + counted(finding_.count, "release") + " of a stroke's " +
         std::to_string(finding_.count + static_cast<std::uint64_t>(finding_.amount)) +
         " never came, the last of a burst: " + list() + ".";
}

std::string Sentence::notes() const {
  switch (finding_.rule) {
    case Rule::note_stuck:
      return stuck();
    case Rule::note_off_unmatched:
      return off_unmatched();
    case Rule::note_on_twice:
      return at_channel() + note() + " was started while down, " + amount_span() +
             " after its start before.";
    case Rule::note_swapped_off:
      return swapped_off();
    case Rule::note_channel_crossed:
      return channel_crossed();
    case Rule::note_burst_short:
      return burst_short();
    case Rule::note_flash:
      return at_channel() + note() + " was down for " + amount_span() + " only.";
    case Rule::note_all_off_only:
      return at_channel() + counted(finding_.count, "note") + " ended by controller " +
             std::to_string(finding_.amount) + " alone: " + list() + ".";
    default:
      return rest();
  }
}

std::string Sentence::chord_passing() const {
  std::string text = finding_.chord_before ? harmony::to_text(*finding_.chord_before, signs_)
                                           : std::string("A chord");
  text += " lived for " + amount_span() + " only";
  if (finding_.chord_after)
    text += ", then came " + harmony::to_text(*finding_.chord_after, signs_);
  return text + '.';
}

std::string Sentence::control_flood() const {
  const auto word = static_cast<std::uint64_t>(finding_.amount);
  const auto status = static_cast<std::uint8_t>(word >> 16U);
  std::string text = at_channel() + message_word(status) + " (" + hex_text(status);
  for (int i = 0; i < midi::data_bytes(status); ++i) {
    text += ' ' + std::to_string((word >> (i == 0 ? 8U : 0U)) & 0x7FU);
  }
  return text + ") was sent " + std::to_string(finding_.count) + " times within a second.";
}

std::string Sentence::rest() const {
  switch (finding_.rule) {
    case Rule::strum_doubled:
      return at_channel() + note() + " triggered twice, " + amount_span() + " apart.";
    case Rule::strum_wire_limited:
      return counted(finding_.count, "note") + " in " + amount_span() +
             ": as fast as the wire allows.";
    case Rule::timing_sense_lost:
      return "Nothing came for more than 300 ms after active sensing had begun.";
    case Rule::timing_stall:
      return amount_span() +
             " passed between two notes of a stroke, with a control message between.";
    case Rule::chord_passing:
      return chord_passing();
    case Rule::chord_unknown:
      return "The notes of this strum fit no chord: " + list() + ".";
    case Rule::control_flood:
      return control_flood();
    default:
      // Nothing to add to what the rule says: the port went, two bytes F0 F7, or a rule whose
      // evidence is told elsewhere (the line's figures, the instrument's cell).
      return at_channel() + text_of(finding_.rule).meaning;
  }
}

std::string Sentence::full() const {
  const std::string_view rule = text_of(finding_.rule).name;
  if (rule.starts_with("wire.")) return wire();
  if (rule.starts_with("note.")) return notes();
  return rest();
}

std::string Sentence::brief() const {
  switch (finding_.rule) {
    case Rule::wire_stray_data:
      return counted(finding_.count, "stray byte");
    case Rule::wire_cut_short:
      return hex_text(static_cast<std::uint8_t>(finding_.amount)) + " message broken off";
    case Rule::wire_undefined_status:
      return "undefined status " + hex_text(static_cast<std::uint8_t>(finding_.amount));
    case Rule::note_stuck:
      return note() + " never released";
    case Rule::note_off_unmatched:
      return note() + " released while not down";
    case Rule::note_on_twice:
      return note() + " started while down";
    case Rule::note_swapped_off:
      return note() + " released, " + other() + " hangs";
    case Rule::note_channel_crossed:
      return note() + " released on another channel";
    case Rule::note_burst_short:
      return counted(finding_.count, "release") + " missing at the end of a burst";
    case Rule::note_flash:
      return note() + " down for " + amount_span();
    case Rule::note_all_off_only:
      return counted(finding_.count, "note") + " ended by all-off only";
    case Rule::strum_doubled:
      return note() + " twice, " + amount_span() + " apart";
    default:
      return text_of(finding_.rule).title;
  }
}

std::string related_note(std::optional<int> channel, std::uint8_t note) {
  const std::string text = "note " + std::to_string(note);
  return channel ? "channel " + std::to_string(*channel) + ' ' + text : text;
}

template <class T>
std::string number_or_dash(const std::optional<T>& number) {
  return number ? std::to_string(*number) : "-";
}

}  // namespace

std::string id_of(const Finding& finding) {
  return std::string(text_of(finding.rule).name) + ':' + std::to_string(finding.src) + ':' +
         std::to_string(finding.t_ns) + ':' + number_or_dash(finding.byte) + ':' +
         number_or_dash(finding.channel) + ':' + number_or_dash(finding.note);
}

std::string text_of(const Finding& finding, Signs signs) { return Sentence(finding, signs).full(); }

std::string short_text_of(const Finding& finding, Signs signs) {
  return Sentence(finding, signs).brief();
}

std::vector<std::string> related_of(const Finding& finding) {
  std::vector<std::string> related;
  if (finding.other) {
    related.push_back(related_note(finding.other->channel.number(), finding.other->number));
  }
  for (std::uint8_t number = 0; number < 128; ++number) {
    if (finding.listed.has(number)) related.push_back(related_note(finding.channel, number));
  }
  return related;
}

const char* doubt_text(Doubt doubt) {
  switch (doubt) {
    case Doubt::none:
      break;
    case Doubt::peer_not_wire:
      return "This source hands over whole messages: it shows the program that sends, not a wire.";
    case Doubt::two_readings:
      return "The bytes allow a second reading.";
    case Doubt::joined_late:
      return "The recording may have begun while notes were sounding.";
  }
  return nullptr;
}

bool before(const Finding& a, const Finding& b) {
  const auto place = [](const Finding& finding) {
    return std::make_tuple(finding.t_ns, finding.src, std::string_view(text_of(finding.rule).name),
                           finding.channel, finding.note, finding.byte, finding.decided_ns);
  };
  return place(a) < place(b);
}

}  // namespace strumwright::diagnosis
