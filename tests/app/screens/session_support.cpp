// tests/app/screens/session_support.cpp
#include "tests/app/screens/session_support.h"

#include <vector>

#include "core/strum/stroke.h"

namespace strumwright::screens {

namespace {

constexpr std::int64_t ms = 1'000'000;

diagnosis::Finding finding(diagnosis::Rule rule, std::uint8_t note, std::int64_t t_ns) {
  diagnosis::Finding made;
  made.rule = rule;
  made.severity = diagnosis::text_of(rule).severity;
  made.channel = 1;
  made.note = note;
  made.t_ns = t_ns;
  made.decided_ns = t_ns;
  made.amount = 11'800'000;
  made.other = notes::NoteKey{midi::Channel{0}, 96};
  made.other_ns = t_ns - 350 * ms;
  return made;
}

}  // namespace

FilledSession::FilledSession() {
  now->epoch = 1;
  now->source_name.set("H-02, serial line");
  now->source_detail.set("raw bytes, serial line at 31,250 baud");
  now->link = engine::Link::linked;
  now->raw = true;
  now->grade = wire::Grade::byte;
  now->resolution_ns = 200'000;
  now->spooling = true;
  now->t_ns = 84'600 * ms;
}

Snapshot FilledSession::snapshot() const { return {*now, *history, now->t_ns, true}; }

void FilledSession::add_strum(std::uint8_t lowest, int count, std::int64_t gap_ns, bool up,
                              bool faulty) {
  engine::StrokeAt stroke;
  stroke.serial = now->stroke.serial + 1;
  stroke.start_ns = now->stroke.end_ns + 700 * ms;
  stroke.final = true;
  stroke.direction = static_cast<std::uint8_t>(up ? strum::Direction::up : strum::Direction::down);
  stroke.evenness = 0.89;
  std::vector<std::uint8_t> notes;
  for (int i = 0; i < count; ++i) {
    const auto step = up ? i : count - 1 - i;
    auto& tooth = stroke.teeth[stroke.tooth_count++];
    tooth.note = static_cast<std::uint8_t>(lowest + step * 7 / 2);
    tooth.place = tooth.note;
    tooth.velocity = 80;
    tooth.t_ns = stroke.start_ns + gap_ns * i;
    const bool early = faulty && i == 2;
    tooth.role = static_cast<std::uint8_t>(early ? strum::Role::early : strum::Role::step);
    notes.push_back(tooth.note);
    stroke.end_ns = tooth.t_ns;
  }
  stroke.span_ns = stroke.end_ns - stroke.start_ns;
  if (faulty) {
    auto& again = stroke.teeth[stroke.tooth_count++];
    again = stroke.teeth[1];
    again.role = static_cast<std::uint8_t>(strum::Role::doubled);
    again.t_ns = stroke.end_ns + 12 * ms;
    stroke.end_ns = again.t_ns;
  }
  stroke.chord = harmony::name_chord(notes);
  history->strokes.append(stroke);
  now->stroke = stroke;
  now->note_starts += static_cast<std::uint64_t>(count);
}

FilledSession busy_session() {
  FilledSession session;
  auto& now = *session.now;
  now.stroke.end_ns = 70'000 * ms;
  for (int i = 0; i < 9; ++i) {
    session.add_strum(static_cast<std::uint8_t>(36 + i), 15, 4'460'000 + i * 300'000, i % 3 != 0,
                      i % 2 == 0);
  }
  constexpr std::uint8_t notes[] = {66, 69, 72, 76, 64};  // F sharp half-diminished over E
  now.chord = harmony::name_chord(notes);
  now.chord_before = now.stroke.chord;
  now.chord_since_ns = now.stroke.start_ns;
  now.bytes = 1'482;
  now.messages = 740;
  now.load_now = 0.11;
  now.load_peak = 0.93;
  now.held_count = 3;
  now.held[0] = {{midi::Channel{0}, 96}, 80, 75'800 * ms};
  now.held[1] = {{midi::Channel{0}, 61}, 80, now.t_ns - 200 * ms};
  now.held[2] = {{midi::Channel{0}, 100}, 80, now.t_ns - 100 * ms};
  now.findings[0] = finding(diagnosis::Rule::note_swapped_off, 98, 83'300 * ms);
  now.findings[1] = finding(diagnosis::Rule::note_stuck, 96, 82'300 * ms);
  now.findings[2] = finding(diagnosis::Rule::strum_doubled, 74, 81'000 * ms);
  now.finding_count = 3;
  now.findings_total = 1'234'567;
  now.errors = 1'200'000;
  now.warnings = 34'567;
  now.infos = 1;
  return session;
}

FilledSession silent_session() { return {}; }

const std::vector<std::string>& hostile_names() {
  static const std::vector<std::string> names = {
      "H-02",
      "",
      std::string(95, 'W'),
      "Ein sehr langer Name eines Anschlusses: MIDI-Eingang 20:1 an der Rückseite",
      "\x1b[2J\xff\xfe\x80 \u202Ereversed\u202C \u200b\u200b",
      "琴琴琴琴琴琴琴琴琴琴琴琴",
      "line\nbreak\ttab",
  };
  return names;
}

}  // namespace strumwright::screens
