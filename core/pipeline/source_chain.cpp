// core/pipeline/source_chain.cpp
#include "core/pipeline/source_chain.h"

#include <algorithm>
#include <cmath>

#include "core/diagnosis/orphan_court.h"
#include "core/midi/status.h"
#include "core/strum/stroke_measures.h"

namespace strumwright::pipeline {
namespace {

using midi::Code;

/// Bytes parsed at once: small enough for their events to stay in the cache.
constexpr std::size_t block_bytes = 512;

/// So few are taken one by one: that costs less than to keep the parser as it was before them.
constexpr std::size_t few_bytes = 3;

/// How long an open message may hold the clock without a byte (rules, section 1).
constexpr std::int64_t open_hold_ns = 300'000'000;

/// Messages that crowd the first moment after a port opened are from before it (ours).
constexpr std::int64_t backlog_window_ns = 100'000'000;

/// Channel 10 has drums, not strings, unless an instrument says so.
constexpr std::uint8_t drum_channel_index = 9;

std::int64_t to_ns(double ms) { return std::llround(ms * 1e6); }

strum::StrumSettings strum_settings(const session::Settings& settings) {
  return {to_ns(settings.strum_gap_ms), to_ns(settings.refractory_ms)};
}

/// How soon after an event a deadline that it sets can be: the strum gap, the hold limit, or that
/// of an orphan, the shortest of the others.
std::int64_t soonest_deadline_ns(const session::Settings& settings) {
  return std::min(
      {to_ns(settings.strum_gap_ms), to_ns(settings.hold_limit_ms), diagnosis::orphan_wait_ns});
}

/// Bytes of a message with its status byte; how many a SysEx has stands behind it.
std::uint64_t full_bytes(const midi::Event& message) {
  if (message.code() == midi::sysex_start) return (&message)[1].count();
  return static_cast<std::uint64_t>(midi::data_bytes(message.code())) + 1;
}

std::vector<std::uint8_t> evidence(const strum::Stroke& stroke) {
  std::vector<std::uint8_t> notes;
  notes.reserve(stroke.onsets.size());
  for (const auto& onset : stroke.onsets) {
    if (onset.role != strum::Role::doubled) notes.push_back(onset.note);
  }
  return notes;
}

/// The name that shows after the whole stroke, heard note by note: it must not depend on how often
/// somebody looks.
std::optional<harmony::ChordName> name_live(harmony::ChordTracker tracker,
                                            const strum::Stroke& stroke,
                                            std::span<const std::uint8_t> notes,
                                            std::span<const std::uint8_t> older) {
  std::optional<harmony::ChordName> name;
  for (std::size_t heard = 1; heard <= notes.size(); ++heard) {
    name = tracker.hear(stroke.start_ns, notes.first(heard), older);
  }
  return name;
}

std::vector<std::uint8_t> older_notes(const strum::Stroke& stroke) {
  std::vector<std::uint8_t> notes;
  stroke.held_through.for_each([&](std::uint8_t note) { notes.push_back(note); });
  return notes;
}

}  // namespace

SourceChain::SourceChain(std::uint16_t src, session::SourceInfo info,
                         const session::Settings& settings, Sink& sink)
    : src_(src),
      info_(std::move(info)),
      settings_(settings),
      soonest_ns_(soonest_deadline_ns(settings)),
      sink_(&sink),
      strums_(strum_settings(settings)),
      grade_(info_.timing),
      wire_judge_(src, info_.raw),
      note_judge_(src, judge_settings()),
      strum_judge_(src),
      control_watch_(src),
      suspect_status_(src),
      events_(midi::ByteParser::most_events(block_bytes)) {}

diagnosis::NoteJudgeSettings SourceChain::judge_settings() const {
  return {to_ns(settings_.hold_limit_ms), has_times(), grade_.grade() != wire::Grade::none};
}

diagnosis::Finding SourceChain::make(diagnosis::Rule rule, std::int64_t t_ns) const {
  diagnosis::Finding finding;
  finding.rule = rule;
  finding.severity = diagnosis::text_of(rule).severity;
  finding.src = src_;
  finding.t_ns = t_ns;
  finding.decided_ns = t_ns;
  return finding;
}

wire::Grade SourceChain::grade_at(std::uint64_t byte) const {
  return fell_at_byte_ && byte < *fell_at_byte_ ? info_.timing : grade_.grade();
}

// --- Bytes -----------------------------------------------------------------------------------

void SourceChain::take(const TimedBytes& timed) {
  if (timed.bytes.empty()) return;
  TimedBytes rest = timed;
  while (!rest.bytes.empty()) {
    TimedBytes block = rest;
    block.bytes = rest.bytes.first(std::min(block_bytes, rest.bytes.size()));
    rest.bytes = rest.bytes.subspan(block.bytes.size());
    rest.first_ns = block.last_ns() + block.step_ns;

    advance(block.first_ns);
    meter(block);
    if (block.bytes.size() <= few_bytes) {
      take_one_by_one(block);
    } else {
      take_at_once(block);
    }
  }
}

void SourceChain::take_at_once(const TimedBytes& timed) {
  const midi::ByteParser before = parser_;
  const std::size_t count =
      parser_.push(timed.bytes, timed.first_ns, timed.step_ns, events_.data());
  const std::span<const midi::Event> events(events_.data(), count);
  // Only anomalies need to know which byte decided them; they are rare enough to parse twice.
  const bool plain =
      std::all_of(events.begin(), events.end(), [](const auto& e) { return e.is_message(); });
  if (plain) {
    handle(events);
    give_findings();
  } else {
    parser_ = before;
    take_one_by_one(timed);
  }
}

void SourceChain::take_one_by_one(const TimedBytes& timed) {
  std::int64_t t_ns = timed.first_ns;
  for (const std::uint8_t byte : timed.bytes) {
    const std::size_t count = parser_.push(byte, t_ns, events_.data());
    handle_with_anomalies({events_.data(), count}, t_ns);
    t_ns += timed.step_ns;
  }
}

void SourceChain::meter(const TimedBytes& timed) {
  if (!first_byte_ns_) first_byte_ns_ = timed.first_ns;
  last_byte_ns_ = timed.last_ns();
  if (info_.raw) guess_rate(timed);
  if (!has_times()) return;
  const bool sensing_byte =
      std::find(timed.bytes.begin(), timed.bytes.end(), midi::active_sensing) != timed.bytes.end();
  // `advance` has come this far, so a loss before these bytes has been told already.
  static_cast<void>(sense_.push(timed.first_ns, timed.last_ns(), sensing_byte));
  load_.push(timed.first_ns, timed.step_ns, timed.bytes.size(), overloads_);
  for (const auto& overload : overloads_) {
    auto finding = make(diagnosis::Rule::wire_load, overload.window_ns);
    finding.decided_ns = overload.at_ns;
    finding.amount = std::llround(overload.load * 1000);
    if (!info_.raw) finding.doubt = diagnosis::Doubt::peer_not_wire;
    findings_.push_back(finding);
  }
  overloads_.clear();
  give_findings();
}

void SourceChain::guess_rate(const TimedBytes& timed) {
  const auto claim = rate_guess_.push(timed.bytes);
  if (!claim) return;
  auto finding = make(diagnosis::Rule::wire_wrong_rate, first_byte_ns_.value_or(0));
  const auto last = static_cast<std::int64_t>(claim->bytes - 1 - parser_.counts().bytes);
  finding.decided_ns = timed.first_ns + last * timed.step_ns;
  finding.byte = 0;
  finding.count = claim->bytes;
  finding.amount = std::llround(claim->baud);
  findings_.push_back(finding);
  give_findings();
}

void SourceChain::handle(std::span<const midi::Event> events) {
  if (events.empty()) return;
  sink_->events(src_, events);
  const bool shows_status = info_.raw && grade_.grade() != wire::Grade::none;
  for (const auto& event : events) {
    if (shows_status) watch_status(event);
    if (midi::is_note_status(event.code())) {
      reach(event);
      play(event);
    } else if (event.is_message()) {
      handle_message(event);
    }
  }
}

void SourceChain::handle_with_anomalies(std::span<const midi::Event> events,
                                        std::int64_t decided_ns) {
  if (events.empty()) return;
  handle(events);
  wire_judge_.push(events, decided_ns, false, findings_);
  count_anomalies(events);
  give_findings();
}

void SourceChain::count_anomalies(std::span<const midi::Event> events) {
  for (std::size_t i = 0; i < events.size(); ++i) {
    const auto& event = events[i];
    if (event.is(Code::undefined)) ++undefined_;
    if (!event.is(Code::stray) && !event.is(Code::text)) continue;
    stray_bytes_ += events[i + 1].count();
    if (event.is(Code::text)) text_bytes_ += events[i + 1].count();
  }
}

// --- Messages --------------------------------------------------------------------------------

void SourceChain::handle_message(const midi::Event& event) {
  if (midi::is_real_time(event.code())) {
    if (event.code() == midi::system_reset) reset(event);
    return;  // the others move no clock: they may stand inside a message
  }
  reach(event);
  if (midi::is_channel_status(event.code())) control(event);
}

/// What is due before a message, and what its time tells.
inline void SourceChain::reach(const midi::Event& event) {
  // A message that no longer held the clock comes late: what it sets may be due already.
  if (event.t_ns < quiet_until_ns_ - soonest_ns_) quiet_until_ns_ = INT64_MIN;
  advance(event.t_ns);
  if (has_times()) watch_grade(event);
}

/// A status byte of its own, below F8, makes the status young; a note without one shows its age.
void SourceChain::watch_status(const midi::Event& event) {
  if (midi::is_real_time(event.code())) return;
  const bool is_note = event.is_message() && event.code() < midi::poly_pressure;
  if (is_note && event.running()) {
    if (const auto age_ns = status_age_.running_note(event.t_ns)) {
      auto finding = make(diagnosis::Rule::wire_status_age, event.t_ns);
      finding.byte = event.byte();
      finding.amount = *age_ns;
      findings_.push_back(finding);
    }
  } else if (!event.running() && (event.is_message() || event.is(Code::cut_short) ||
                                  event.is(Code::sysex_open) || event.is(Code::eox_alone))) {
    status_age_.status(event.t_ns);
  }
}

/// A channel message that is no note.
void SourceChain::control(const midi::Event& event) {
  if (event.code() >= midi::control_change) watch_controls(event);
  ledger_.push(event, facts_);
  hand_facts();
}

void SourceChain::watch_controls(const midi::Event& event) {
  if (info_.raw) {
    auto finding = grade_.grade() == wire::Grade::none ? suspect_status_.push(event, ledger_)
                                                       : suspect_status_.push(event, strums_);
    if (finding) findings_.push_back(*finding);
  }
  if (grade_.grade() == wire::Grade::none) return;
  if (auto finding = control_watch_.push(event)) findings_.push_back(*finding);
}

void SourceChain::watch_grade(const midi::Event& event) {
  const std::uint64_t bytes = full_bytes(event);
  if (!grade_.push(event.t_ns, event.running() && info_.raw ? bytes - 1 : bytes)) return;
  fell_at_byte_ = event.byte();
  note_judge_.set(judge_settings());
  sense_.disarm();  // silence cannot be told from a batch any more
  auto finding = make(diagnosis::Rule::timing_batched, event.t_ns);
  finding.byte = event.byte();
  findings_.push_back(finding);
  if (event.t_ns - opened_ns_ <= backlog_window_ns) {
    finding = make(diagnosis::Rule::wire_backlog, event.t_ns);
    finding.byte = event.byte();
    findings_.push_back(finding);
  }
}

inline void SourceChain::play(midi::Event event) {
  if (!notes::is_start(event)) return hand(ledger_.release(event));
  if (grade_.grade() != wire::Grade::none) start_onset(event);
  hand(ledger_.start(event));
}

/// The ledger does not know of the start yet.
void SourceChain::start_onset(const midi::Event& event) {
  const std::uint8_t channel = event.code() & 15U;
  if (channel == drum_channel_index) return;
  strum::Onset onset;
  onset.t_ns = event.t_ns;
  onset.byte = event.byte();
  onset.channel = {channel};
  onset.note = event.data1();
  onset.velocity = event.data2();
  onset.place = event.data1();
  onset.message_bytes = event.running() && info_.raw ? 2 : 3;
  onset.down_before = ledger_.down_pitches();
  control_watch_.onset(onset);
  strums_.push(onset, strokes_);
  finish_strokes(event.t_ns, false);
}

void SourceChain::reset(const midi::Event& event) {
  advance(event.t_ns);
  end_notes(event.t_ns, notes::Ending::reset);
}

void SourceChain::end_notes(std::int64_t t_ns, notes::Ending how) {
  ledger_.end_all(t_ns, how, facts_);
  hand_facts();
}

void SourceChain::hand_facts() {
  for (const auto& fact : facts_) hand(fact);
  facts_.clear();
}

// --- Strokes ---------------------------------------------------------------------------------

void SourceChain::finish_strokes(std::int64_t decided_ns, bool at_end) {
  for (auto& stroke : strokes_) {
    if (!wire::can_time(grade_at(stroke.onsets.back().byte))) strum::distrust_times(stroke);
    finish_stroke(stroke, decided_ns, at_end);
  }
  strokes_.clear();
}

void SourceChain::finish_stroke(const strum::Stroke& stroke, std::int64_t decided_ns, bool at_end) {
  const wire::Grade grade = grade_at(stroke.onsets.back().byte);
  const auto notes = evidence(stroke);
  const auto older = older_notes(stroke);
  const auto settled = chords_.settle(notes, older);
  const diagnosis::StrokeVerdict verdict{wire::can_time(grade), at_end, decided_ns};
  if (!stroke.is_strum()) loose_onsets_ += static_cast<std::uint64_t>(stroke.steps);

  suspect_status_.stroke(stroke);
  note_judge_.stroke(stroke, findings_);
  const std::size_t before_stalls = findings_.size();
  control_watch_.stroke(stroke, decided_ns, findings_);
  if (!verdict.timed) findings_.resize(before_stalls);
  if (settled.name.named) note_judge_.chord(stroke.start_ns, settled.name.best);
  strum_judge_.stroke(stroke, settled.name, verdict, findings_);
  sink_->stroke({src_, grade, stroke, settled.name});
  if (!settled.changed) return;
  strum_judge_.chord_changed(stroke.start_ns, settled.name.best, verdict, findings_);
  ChordChange change{src_, stroke.start_ns, settled.name, notes};
  if (!harmony::name_chord(notes).named) {
    change.notes.insert(change.notes.end(), older.begin(), older.end());
  }
  std::sort(change.notes.begin(), change.notes.end());
  change.notes.erase(std::unique(change.notes.begin(), change.notes.end()), change.notes.end());
  sink_->chord(change);
}

// --- Time ------------------------------------------------------------------------------------

std::optional<std::int64_t> SourceChain::held_until_ns() const {
  if (!parser_.open_since_ns() || !last_byte_ns_) return std::nullopt;
  return *last_byte_ns_ + open_hold_ns;
}

/// Asking every analyser costs more than most messages do, so the answer is kept: until the first
/// deadline that stands, and until what an event from now on could set.
std::optional<SourceChain::Due> SourceChain::due_before(std::int64_t t_ns) {
  if (is_quiet(t_ns)) return std::nullopt;
  std::int64_t limit_ns = t_ns;
  const auto held_ns = held_until_ns();
  if (held_ns && t_ns <= *held_ns) limit_ns = std::min(t_ns, *parser_.open_since_ns());
  Due first{INT64_MAX, sensing};
  const auto consider = [&](std::optional<std::int64_t> deadline_ns, Analyser analyser) {
    if (deadline_ns && *deadline_ns < first.deadline_ns) first = Due{*deadline_ns, analyser};
  };
  consider(sense_.deadline_ns(), sensing);
  consider(note_judge_.deadline_ns(), notes_analyser);
  consider(strums_.deadline_ns(), strums_analyser);
  if (first.deadline_ns < limit_ns) return first;
  quiet_until_ns_ = std::min(first.deadline_ns, limit_ns + soonest_ns_);
  return std::nullopt;
}

void SourceChain::fire(Due due) {
  quiet_until_ns_ = INT64_MIN;
  const std::int64_t after_ns = due.deadline_ns + 1;
  if (due.analyser == sensing) {
    if (const auto lost_ns = sense_.advance(after_ns)) {
      auto finding = make(diagnosis::Rule::timing_sense_lost, *lost_ns);
      findings_.push_back(finding);
      end_notes(*lost_ns, notes::Ending::sense_lost);
    }
  } else if (due.analyser == notes_analyser) {
    note_judge_.advance(after_ns, findings_);
  } else {
    strums_.advance(after_ns, strokes_);
    finish_strokes(due.deadline_ns, false);
  }
  give_findings();
}

void SourceChain::fire_before(std::int64_t t_ns) {
  while (const auto due = due_before(t_ns)) fire(*due);
}

void SourceChain::lose(std::int64_t t_ns, std::int64_t count) {
  handle_with_anomalies({events_.data(), parser_.lose(events_.data())}, t_ns);
  auto finding = make(diagnosis::Rule::wire_overflow, t_ns);
  finding.count = static_cast<std::uint64_t>(std::max<std::int64_t>(count, 0));
  findings_.push_back(finding);
  give_findings();
}

void SourceChain::leave(std::int64_t t_ns) {
  handle_with_anomalies({events_.data(), parser_.lose(events_.data())}, t_ns);
  sense_.disarm();
  gone_ = true;
  findings_.push_back(make(diagnosis::Rule::port_gone, t_ns));
  end_notes(t_ns, notes::Ending::gone);
  give_findings();
}

void SourceChain::come_back(std::int64_t t_ns) {
  gone_ = false;
  opened_ns_ = t_ns;
  findings_.push_back(make(diagnosis::Rule::port_back, t_ns));
  give_findings();
}

void SourceChain::set(const session::Settings& settings) {
  settings_ = settings;
  soonest_ns_ = soonest_deadline_ns(settings);
  quiet_until_ns_ = INT64_MIN;
  strums_.set(strum_settings(settings));
  note_judge_.set(judge_settings());
}

void SourceChain::finish(std::int64_t t_ns) {
  const std::size_t count = parser_.finish(events_.data());
  const std::span<const midi::Event> events(events_.data(), count);
  if (count > 0) sink_->events(src_, events);
  wire_judge_.push(events, t_ns, true, findings_);
  count_anomalies(events);
  // An empty dump says nothing of how long somebody listened.
  if (parser_.counts().bytes == 0 && grade_.grade() != wire::Grade::none) {
    auto finding = make(diagnosis::Rule::wire_silent, 0);
    finding.decided_ns = t_ns;
    finding.at_end = true;
    findings_.push_back(finding);
  }
  strums_.finish(strokes_);
  finish_strokes(t_ns, true);
  note_judge_.finish(t_ns, findings_);
  give_findings();
}

void SourceChain::give_findings() {
  for (const auto& finding : findings_) sink_->finding(finding);
  findings_.clear();
}

SourceState SourceChain::state(std::int64_t now_ns) {
  SourceState state;
  state.counts = parser_.counts();
  state.grade = grade_.grade();
  state.fell_to_batched = fell();
  state.gone = gone_;
  state.held = ledger_.held();
  state.pedal = ledger_.pedal();
  state.note_starts = ledger_.starts();
  state.note_releases = ledger_.releases();
  state.zero_velocity_releases = ledger_.zero_velocity_releases();
  state.loose_onsets = loose_onsets_;
  if (has_times()) {
    state.load_mean = load_.mean();
    state.load_peak = load_.peak();
    state.load_now = load_.at(now_ns);
  }
  state.current_stroke = strums_.current();
  if (state.current_stroke) {
    const auto& stroke = *state.current_stroke;
    state.chord = name_live(chords_, stroke, evidence(stroke), older_notes(stroke));
  }
  if (const auto last = chords_.last(); last && (!state.chord || !state.chord->named)) {
    harmony::ChordName name;
    name.named = true;
    name.best = *last;
    state.chord = name;
  }
  state.first_byte_ns = first_byte_ns_;
  state.last_byte_ns = last_byte_ns_;
  state.stray_bytes = stray_bytes_;
  state.text_bytes = text_bytes_;
  state.undefined = undefined_;
  return state;
}

}  // namespace strumwright::pipeline
