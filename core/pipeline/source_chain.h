// core/pipeline/source_chain.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/diagnosis/control_watch.h"
#include "core/diagnosis/note_judge.h"
#include "core/diagnosis/strum_judge.h"
#include "core/diagnosis/suspect_status.h"
#include "core/diagnosis/wire_judge.h"
#include "core/harmony/chord_tracker.h"
#include "core/midi/byte_parser.h"
#include "core/notes/ledger.h"
#include "core/notes/sense_watch.h"
#include "core/pipeline/byte_clock.h"
#include "core/pipeline/pipeline.h"
#include "core/strum/strum_tracker.h"
#include "core/wire/load_meter.h"
#include "core/wire/rate_guess.h"
#include "core/wire/status_age.h"
#include "core/wire/timing_grade.h"

namespace strumwright::pipeline {

/// The analysers of one source, wired: bytes with their times in, facts and findings to the sink.
///
/// Owns the order of things within a source: before an event at t every deadline before t fires, in
/// order, stamped with itself; an open message holds the clock at its first byte until 300 ms pass
/// without a byte. Thread: its owner's only.
class SourceChain {
 public:
  SourceChain(std::uint16_t src, session::SourceInfo info, const session::Settings& settings,
              Sink& sink);

  /// Takes bytes in order of time.
  void take(const TimedBytes& timed);
  void lose(std::int64_t t_ns, std::int64_t count);
  void leave(std::int64_t t_ns);
  void come_back(std::int64_t t_ns);
  /// For the next stroke and the next note start on.
  void set(const session::Settings& settings);
  /// Settles what is left; deadlines before `t_ns` have fired.
  void finish(std::int64_t t_ns);

  /// The next deadline that may fire before `t_ns`, with the analyser's place in the order.
  struct Due {
    std::int64_t deadline_ns;
    int analyser;
  };
  [[nodiscard]] std::optional<Due> due_before(std::int64_t t_ns);
  void fire(Due due);
  /// Until when (inclusive) an open message holds this source's deadlines back, if one does.
  [[nodiscard]] std::optional<std::int64_t> held_until_ns() const;

  [[nodiscard]] SourceState state(std::int64_t now_ns);
  /// Where facts and findings go from now on.
  void set_sink(Sink& sink) { sink_ = &sink; }
  [[nodiscard]] const session::SourceInfo& info() const { return info_; }
  [[nodiscard]] wire::Grade grade() const { return grade_.grade(); }
  /// The grade its chunks were stamped with allowed timed rules at first.
  [[nodiscard]] bool fell() const { return fell_at_byte_.has_value(); }
  [[nodiscard]] std::optional<std::int64_t> last_byte_ns() const { return last_byte_ns_; }

 private:
  enum Analyser { sensing, notes_analyser, strums_analyser };

  [[nodiscard]] bool is_quiet(std::int64_t t_ns) const { return t_ns <= quiet_until_ns_; }
  void advance(std::int64_t t_ns) {
    if (!is_quiet(t_ns)) fire_before(t_ns);
  }
  void fire_before(std::int64_t t_ns);
  void take_at_once(const TimedBytes& timed);
  void take_one_by_one(const TimedBytes& timed);
  void handle(std::span<const midi::Event> events);
  void handle_with_anomalies(std::span<const midi::Event> events, std::int64_t decided_ns);
  void handle_message(const midi::Event& event);
  // Inline though not defined here: what a note costs is spent in these, and only source_chain.cpp
  // calls them.
  [[gnu::always_inline]] inline void reach(const midi::Event& event);
  [[gnu::always_inline]] inline void play(midi::Event event);
  void watch_grade(const midi::Event& event);
  void count_anomalies(std::span<const midi::Event> events);
  void watch_status(const midi::Event& event);
  void control(const midi::Event& event);
  void watch_controls(const midi::Event& event);
  void start_onset(const midi::Event& event);
  void reset(const midi::Event& event);
  void end_notes(std::int64_t t_ns, notes::Ending how);
  [[gnu::always_inline]] void hand(const notes::NoteFact& fact) {
    note_judge_.push(fact, findings_);
    sink_->note(src_, fact);  // last, so that until then the compiler knows all of the fact
  }
  void hand_facts();
  void meter(const TimedBytes& timed);
  void guess_rate(const TimedBytes& timed);
  void finish_strokes(std::int64_t decided_ns, bool at_end);
  void finish_stroke(const strum::Stroke& stroke, std::int64_t decided_ns, bool at_end);
  void give_findings();
  [[nodiscard]] diagnosis::Finding make(diagnosis::Rule rule, std::int64_t t_ns) const;
  [[nodiscard]] diagnosis::NoteJudgeSettings judge_settings() const;
  [[nodiscard]] wire::Grade grade_at(std::uint64_t byte) const;
  [[nodiscard]] bool has_times() const { return wire::can_time(grade_.grade()); }

  std::uint16_t src_;
  session::SourceInfo info_;
  session::Settings settings_;
  std::int64_t soonest_ns_;  // see `due_before`
  Sink* sink_;

  midi::ByteParser parser_;
  notes::Ledger ledger_;
  notes::SenseWatch sense_;
  strum::StrumTracker strums_;
  harmony::ChordTracker chords_;
  wire::GradeWatch grade_;
  wire::LoadMeter load_;
  wire::StatusAge status_age_;
  wire::RateGuess rate_guess_;
  diagnosis::WireJudge wire_judge_;
  diagnosis::NoteJudge note_judge_;
  diagnosis::StrumJudge strum_judge_;
  diagnosis::ControlWatch control_watch_;
  diagnosis::SuspectStatus suspect_status_;

  std::int64_t quiet_until_ns_ = INT64_MIN;  // no deadline before this; see `due_before`
  std::optional<std::uint64_t> fell_at_byte_;
  std::optional<std::int64_t> first_byte_ns_;
  std::optional<std::int64_t> last_byte_ns_;
  std::int64_t opened_ns_ = 0;
  bool gone_ = false;
  std::uint64_t loose_onsets_ = 0;
  std::uint64_t stray_bytes_ = 0;
  std::uint64_t text_bytes_ = 0;
  std::uint64_t undefined_ = 0;

  // Kept to be reused, so that a message costs no allocation.
  std::vector<midi::Event> events_;
  std::vector<notes::NoteFact> facts_;
  std::vector<strum::Stroke> strokes_;
  std::vector<diagnosis::Finding> findings_;
  std::vector<wire::Overload> overloads_;
};

}  // namespace strumwright::pipeline
