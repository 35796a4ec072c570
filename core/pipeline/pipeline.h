// core/pipeline/pipeline.h
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "core/diagnosis/finding.h"
#include "core/harmony/chord_name.h"
#include "core/midi/byte_parser.h"
#include "core/notes/ledger.h"
#include "core/session/entry.h"
#include "core/strum/stroke.h"
#include "core/wire/timing_grade.h"

namespace strumwright::pipeline {

/// A final stroke with its chord.
struct JudgedStroke {
  std::uint16_t src = 0;
  wire::Grade grade = wire::Grade::byte;  ///< at its last onset; `batched`: no span, no evenness
  const strum::Stroke& stroke;
  harmony::ChordName chord;
};

/// An entry of `chords`: the settled name changed.
struct ChordChange {
  std::uint16_t src = 0;
  std::int64_t t_ns = 0;  ///< first onset of the stroke
  harmony::ChordName chord;
  std::vector<std::uint8_t> notes;  ///< the evidence, ascending
};

/// Takes what the pipeline finds, in the order in which it is decided. References are good for the
/// call only. All have empty defaults: a sink overrides what it wants.
class Sink {
 public:
  virtual ~Sink() = default;
  /// Parsed messages and anomalies of a source, before the analysers see them.
  virtual void events(std::uint16_t, std::span<const midi::Event>) {}
  virtual void note(std::uint16_t, const notes::NoteFact&) {}
  virtual void stroke(const JudgedStroke&) {}
  virtual void chord(const ChordChange&) {}
  virtual void finding(const diagnosis::Finding&) {}
};

/// What documents and screens show of one source, at any time.
struct SourceState {
  midi::ParserCounts counts;
  wire::Grade grade = wire::Grade::none;
  bool fell_to_batched = false;
  bool gone = false;
  std::vector<notes::HeldNote> held;
  std::vector<notes::HeldNote> pedal;
  std::uint64_t note_starts = 0;
  std::uint64_t note_releases = 0;
  std::uint64_t zero_velocity_releases = 0;
  std::uint64_t loose_onsets = 0;
  std::optional<double> load_mean;
  std::optional<double> load_peak;
  std::optional<double> load_now;
  std::optional<strum::Stroke> current_stroke;  ///< provisional
  std::optional<harmony::ChordName> chord;      ///< live name, else the last settled
  std::optional<std::int64_t> first_byte_ns;
  std::optional<std::int64_t> last_byte_ns;
  std::uint64_t stray_bytes = 0;  ///< bytes of stray and text runs
  std::uint64_t text_bytes = 0;   ///< of these, those that read as text
  std::uint64_t undefined = 0;
};

/// Why a rule was not judged (once a rule, over all sources).
struct NotJudged {
  diagnosis::Rule rule;
  const char* why;
};

/// The wiring of the analysers: one for the window, the commands and the tests.
///
/// Entries in, facts and findings out to the sink. A replay of the same entries gives the same
/// output, however the chunks were cut and however often `advance` was called. Bounded memory.
/// Thread: its owner's only.
class Pipeline {
 public:
  Pipeline(std::vector<session::SourceInfo> sources, session::Settings settings, Sink& sink);
  ~Pipeline();
  Pipeline(Pipeline&&) noexcept;

  /// Takes the next entry; its time must not go back.
  void push(const session::Entry& entry);
  /// No entry earlier than `t_ns` will come: fires what was due.
  void advance(std::int64_t t_ns);
  /// The input ended: settles what is left.
  void finish();

  [[nodiscard]] std::size_t source_count() const;
  /// With the bytes pushed whose times may still change: a note shows at once.
  [[nodiscard]] SourceState state(std::size_t src) const;
  [[nodiscard]] const session::SourceInfo& source(std::size_t src) const;
  /// The settings last shown (an entry may have changed them).
  [[nodiscard]] const session::Settings& settings() const;
  /// To the `end` entry, else to the end of the last byte; null at grade `none`.
  [[nodiscard]] std::optional<std::int64_t> duration_ns() const;
  [[nodiscard]] std::vector<NotJudged> not_judged() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace strumwright::pipeline
