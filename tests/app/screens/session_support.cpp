// tests/app/screens/session_support.cpp
#include "tests/app/screens/session_support.h"

#include <initializer_list>
#include <iterator>
#include <vector>

#include "core/midi/byte_parser.h"
#include "core/midi/status.h"
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

Snapshot FilledSession::snapshot() const {
  Snapshot snapshot{*now, *history, now->t_ns, true};
  snapshot.can_release = can_release;
  return snapshot;
}

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

namespace {

/// Notes of the newest strum with every ending, a hung one among them.
void add_notes(FilledSession& session) {
  const auto& stroke = session.now->stroke;
  for (std::size_t i = 0; i < stroke.tooth_count; ++i) {
    const auto& tooth = stroke.teeth[i];
    engine::NoteSpan span;
    span.start_ns = tooth.t_ns;
    span.end_ns = tooth.t_ns + 350 * ms;
    span.note = tooth.note;
    span.velocity = tooth.velocity;
    span.ending = static_cast<std::uint8_t>(i % 6);
    if (i == 6) span.ending = engine::NoteSpan::started_again;
    session.history->notes.append(span);
  }
}

void add_message(FilledSession& session, std::int64_t t_ns, std::initializer_list<int> bytes,
                 const midi::Event& event) {
  auto& now = *session.now;
  std::uint64_t index = event.byte();
  for (const int byte : bytes) {
    session.history->bytes.append({t_ns, index++ << 16U | static_cast<std::uint64_t>(byte)});
    now.last_byte_ns = t_ns;
    t_ns += midi::byte_ns;
  }
  session.history->events.append({event.t_ns, event, 0});
  now.bytes = index;
}

/// Bytes of the newest strum: status once, then running status; a SysEx, what it leaves stray,
/// sensing, and a message under way.
void add_bytes(FilledSession& session) {
  const auto& stroke = session.now->stroke;
  session.now->first_byte_ns = stroke.start_ns;
  std::uint64_t index = 0;
  for (std::size_t i = 0; i < stroke.tooth_count; ++i) {
    const auto& tooth = stroke.teeth[i];
    const auto event = midi::make_event(tooth.t_ns, 0x90, tooth.note, 80, i > 0, index);
    if (i == 0) {
      add_message(session, tooth.t_ns, {0x90, tooth.note, 80}, event);
    } else {
      add_message(session, tooth.t_ns, {tooth.note, 80}, event);
    }
    index = session.now->bytes;
    if (i == 4) {
      const std::int64_t t_ns = tooth.t_ns + 2 * midi::byte_ns;
      add_message(session, t_ns, {0xF0, 0x7D, 0xF7},
                  midi::make_event(t_ns, 0xF0, 0x7D, 0, false, index));
      session.history->events.append(
          {t_ns, midi::make_event(3, midi::raw(midi::Code::count), 0, 0, false, index), 0});
      index = session.now->bytes;
      const std::int64_t stray_ns = t_ns + 3 * midi::byte_ns;
      add_message(
          session, stray_ns, {0x3B, 0x50},
          midi::make_event(stray_ns, midi::raw(midi::Code::stray), 0x3B, 0x50, false, index));
      session.history->events.append(
          {stray_ns, midi::make_event(2, midi::raw(midi::Code::count), 0, 0, false, index), 0});
      index = session.now->bytes;
    }
    if (i == 8) {
      const std::int64_t t_ns = tooth.t_ns + 3 * midi::byte_ns;
      add_message(session, t_ns, {0xFE}, midi::make_event(t_ns, 0xFE, 0, 0, false, index));
      index = session.now->bytes;
    }
  }
  for (std::int64_t t_ns = 60'000 * ms; t_ns < session.now->t_ns; t_ns += 100 * ms) {
    const auto bytes = static_cast<std::uint32_t>(t_ns / ms / 100 % 5 * 90);
    if (bytes > 0) session.history->load.append({t_ns, bytes, 0});
  }
}

}  // namespace

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
  for (std::size_t i = now.finding_count; i-- > 0;) {
    session.history->findings.append({now.findings[i]});
  }
  session.history->chords.append({now.stroke.start_ns - 3'000 * ms, now.chord, 0});
  session.history->chords.append({now.stroke.start_ns, now.stroke.chord, 0});
  add_notes(session);
  add_bytes(session);
  now.findings_total = 1'234'567;
  now.errors = 1'200'000;
  now.warnings = 34'567;
  now.infos = 1;
  return session;
}

FilledSession silent_session() { return {}; }

void fill_with_noise(FilledSession& session, int bytes) {
  constexpr std::uint8_t usual[] = {0x90, 0x80, 0x40, 0x7F, 0xF8, 0xF0,
                                    0xF7, 0xFE, 0xF4, 0xC0, 0xF9};
  auto& now = *session.now;
  midi::ByteParser parser;
  std::uint32_t state = 1;
  std::int64_t event_ns = 0;
  std::uint64_t index = now.bytes;
  std::int64_t t_ns = now.t_ns;
  for (int i = 0; i < bytes; ++i) {
    state = state * 1'664'525U + 1'013'904'223U;  // Numerical Recipes, "quick and dirty" generator
    const auto chance = state >> 24U;
    const auto value = chance < 100 ? usual[(state >> 8U) % std::size(usual)]
                                    : static_cast<std::uint8_t>(state >> 16U);
    session.history->bytes.append({t_ns, index++ << 16U | value});
    midi::Event events[midi::ByteParser::most_events(1)];
    const auto count = parser.push(value, t_ns, events);
    for (std::size_t k = 0; k < count; ++k) {
      auto event = events[k];
      if (!event.is(midi::Code::count)) event_ns = event.t_ns;
      // The parser counted from 0, the session goes on.
      event.word += (index - 1 - static_cast<std::uint64_t>(i)) << 25U;
      session.history->events.append({event_ns, event, 0});
    }
    t_ns += midi::byte_ns + (chance % 11 == 0 ? 1'700'000 : 0);
  }
  now.bytes = index;
  now.last_byte_ns = now.t_ns = t_ns;
}

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
