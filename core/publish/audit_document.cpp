// core/publish/audit_document.cpp
#include "core/publish/audit_document.h"

#include <algorithm>
#include <span>
#include <vector>

#include "core/diagnosis/finding_text.h"
#include "core/harmony/chord_kind.h"

namespace strumwright::publish {
namespace {

using pipeline::Pipeline;
using pipeline::SourceState;

/// What the sources of a session come to together.
struct Totals {
  bool raw = true;
  bool load_judged = true;
  bool all_without_times = true;
  wire::Grade timing = wire::Grade::wire;
  std::optional<std::int64_t> resolution_ns;
  midi::ParserCounts counts;
  std::uint64_t starts = 0;
  std::uint64_t releases = 0;
  std::uint64_t zero_velocity_releases = 0;
  std::uint64_t loose_onsets = 0;
  std::optional<double> load_mean;
  std::optional<double> load_peak;
  std::vector<SourceState> states;
};

std::optional<double> busier(std::optional<double> a, std::optional<double> b) {
  return a && b ? std::max(a, b) : (a ? a : b);
}

Totals total(const Pipeline& pipeline) {
  Totals totals;
  for (std::size_t src = 0; src < pipeline.source_count(); ++src) {
    const auto& info = pipeline.source(src);
    auto state = pipeline.state(src);
    totals.raw = totals.raw && info.raw;
    totals.load_judged = totals.load_judged && wire::can_time(state.grade);
    totals.all_without_times = totals.all_without_times && state.grade == wire::Grade::none;
    totals.timing = std::max(totals.timing, state.grade);
    totals.resolution_ns = std::max(totals.resolution_ns, info.resolution_ns);
    totals.counts.bytes += state.counts.bytes;
    totals.counts.messages += state.counts.messages;
    totals.counts.running_used += state.counts.running_used;
    totals.counts.running_possible += state.counts.running_possible;
    totals.starts += state.note_starts;
    totals.releases += state.note_releases;
    totals.zero_velocity_releases += state.zero_velocity_releases;
    totals.loose_onsets += state.loose_onsets;
    totals.load_mean = busier(totals.load_mean, state.load_mean);
    totals.load_peak = busier(totals.load_peak, state.load_peak);
    totals.states.push_back(std::move(state));
  }
  return totals;
}

void write_input(const AuditInput& input, const Pipeline& pipeline, const Totals& totals,
                 JsonWriter& json) {
  json.key("input");
  json.begin_object();
  json.member("path", input.path);
  json.member("kind", session::to_text(input.kind));
  json.member("raw", totals.raw);
  json.member("timing", wire::to_text(totals.timing));
  json.member("resolution_ns", totals.resolution_ns);
  json.member("duration_ns", pipeline.duration_ns());
  json.member("bytes", totals.counts.bytes);
  json.member("messages", totals.counts.messages);
  json.member("torn", input.torn);
  json.end_object();
}

void write_settings(const session::Settings& settings, JsonWriter& json) {
  json.key("settings");
  json.begin_object();
  json.member("strum_gap_ms", settings.strum_gap_ms);
  json.member("refractory_ms", settings.refractory_ms);
  json.member("hold_limit_ms", settings.hold_limit_ms);
  json.end_object();
}

void write_wire(const Totals& totals, JsonWriter& json) {
  json.key("wire");
  json.begin_object();
  json.key("running_status");
  json.begin_object();
  const auto seen = [&](std::uint64_t count) {
    return totals.raw ? std::optional(count) : std::nullopt;
  };
  json.member("visible", totals.raw);
  json.member("used", seen(totals.counts.running_used));
  json.member("possible", totals.counts.running_possible);
  // A status byte left out is one byte saved.
  json.member("bytes_saved", seen(totals.counts.running_used));
  json.member("bytes_savable", totals.counts.running_possible);
  json.end_object();
  json.member("load_mean", totals.load_judged ? totals.load_mean : std::nullopt);
  json.member("load_peak", totals.load_judged ? totals.load_peak : std::nullopt);
  json.member("load_assumed", !totals.raw);
  json.end_object();
}

void write_held(std::string_view name, const Totals& totals,
                std::vector<notes::HeldNote> SourceState::*list, JsonWriter& json) {
  json.key(name);
  json.begin_array();
  for (std::size_t src = 0; src < totals.states.size(); ++src) {
    for (const auto& held : totals.states[src].*list) {
      json.begin_object();
      json.member("src", src);
      json.member("channel", held.key.channel.number());
      json.member("note", held.key.number);
      json.member("since_ns", held.since_ns);
      json.end_object();
    }
  }
  json.end_array();
}

void write_notes(const Totals& totals, JsonWriter& json) {
  json.key("notes");
  json.begin_object();
  json.member("on", totals.starts);
  json.member("off", totals.releases);
  json.member("off_by_zero_velocity", totals.zero_velocity_releases);
  write_held("held_at_end", totals, &SourceState::held, json);
  write_held("pedal_at_end", totals, &SourceState::pedal, json);
  json.end_object();
}

void write_others(const harmony::ChordName& chord, JsonWriter& json) {
  json.key("others");
  json.begin_array();
  for (const auto& other : std::span(chord.others).first(chord.other_count)) {
    json.value(harmony::to_text(other));
  }
  json.end_array();
}

void write_texts(std::string_view name, const std::vector<std::string>& texts, JsonWriter& json) {
  json.key(name);
  json.begin_array();
  for (const auto& text : texts) json.value(text);
  json.end_array();
}

void write_findings(const FindingList& list, JsonWriter& json) {
  json.key("findings");
  json.begin_array();
  for (const auto& finding : list.in_order()) {
    json.begin_object();
    json.member("t_ns", finding.t_ns);
    write_finding_members(finding, json);
    json.end_object();
  }
  json.end_array();
}

void write_not_judged(const Pipeline& pipeline, JsonWriter& json) {
  json.key("not_judged");
  json.begin_array();
  for (const auto& [rule, why] : pipeline.not_judged()) {
    json.begin_object();
    json.member("rule", diagnosis::text_of(rule).name);
    json.member("why", why);
    json.end_object();
  }
  json.end_array();
}

void write_counts(const FindingList& list, JsonWriter& json) {
  json.key("counts");
  json.begin_object();
  json.member("error", list.counts().error);
  json.member("warning", list.counts().warning);
  json.member("info", list.counts().info);
  json.end_object();
  json.member("left_out", list.left_out());
}

/// The notes (there is no instrument yet) of the onsets that play `role`, by time.
void write_role(std::string_view name, const strum::Stroke& stroke, strum::Role role,
                JsonWriter& json) {
  json.key(name);
  json.begin_array();
  for (const auto& onset : stroke.onsets) {
    if (onset.role == role) json.value(onset.note);
  }
  json.end_array();
}

void write_onsets(const strum::Stroke& stroke, JsonWriter& json) {
  json.key("onsets");
  json.begin_array();
  for (const auto& onset : stroke.onsets) {
    json.begin_object();
    json.member("t_ns", onset.t_ns);
    json.member("note", onset.note);
    json.member("velocity", onset.velocity);
    json.null_member("string");
    json.end_object();
  }
  json.end_array();
}

void write_measures(const pipeline::JudgedStroke& judged, JsonWriter& json) {
  const auto& stroke = judged.stroke;
  const bool timed = wire::can_time(judged.grade);
  json.member("span_ms",
              timed ? std::optional(static_cast<double>(stroke.span_ns) / 1e6) : std::nullopt);
  json.member("evenness", timed ? stroke.evenness : std::nullopt);
  json.key("skipped");  // needs an instrument
  json.begin_array();
  json.end_array();
  write_role("doubled", stroke, strum::Role::doubled, json);
  write_role("out_of_order", stroke, strum::Role::early, json);
  json.key("foreign");
  json.begin_array();
  if (judged.chord.foreign_note) json.value(*judged.chord.foreign_note);
  json.end_array();
  json.member("wire_limited", timed && stroke.wire_limited);
}

/// Copies the pieces of a document to its sink, stopping at the first failure.
class PieceWriter {
 public:
  explicit PieceWriter(session::ByteSink& sink) : sink_(&sink) {}

  void write(std::string& text) {
    const auto* bytes = reinterpret_cast<const std::uint8_t*>(text.data());
    if (result_) result_ = sink_->write({bytes, text.size()});
    text.clear();
  }
  void write(TextStore& store) {
    if (result_) result_ = store.copy_to(*sink_);
  }
  [[nodiscard]] const Result<Done>& result() const { return result_; }

 private:
  session::ByteSink* sink_;
  Result<Done> result_ = Done{};
};

}  // namespace

void AuditCollector::stroke(const pipeline::JudgedStroke& judged) {
  if (!judged.stroke.is_strum()) return;
  ++strum_count_;
  if (strums_ == nullptr) return;
  JsonWriter json(text_);
  json.begin_object();
  write_strum_members(judged, json);
  json.end_object();
  keep_element(*strums_, strum_count_ == 1);
}

void AuditCollector::chord(const pipeline::ChordChange& change) {
  ++chord_count_;
  if (chords_ == nullptr) return;
  JsonWriter json(text_);
  json.begin_object();
  json.member("t_ns", change.t_ns);
  write_chord_members(change, json);
  json.end_object();
  keep_element(*chords_, chord_count_ == 1);
}

void AuditCollector::keep_element(TextStore& store, bool first) {
  if (!first) keep(store, ",");
  keep(store, text_);
  text_.clear();
}

void AuditCollector::keep(TextStore& store, std::string_view text) {
  if (failure_) return;
  if (auto done = store.append(text); !done) failure_ = done.error();
}

void write_strum_members(const pipeline::JudgedStroke& judged, JsonWriter& json) {
  json.member("src", judged.src);
  json.member("start_ns", judged.stroke.start_ns);
  json.member("end_ns", judged.stroke.end_ns);
  json.member("direction", strum::to_text(judged.stroke.direction));
  write_onsets(judged.stroke, json);
  json.member("chord", judged.chord.named ? std::optional(harmony::to_text(judged.chord.best))
                                          : std::nullopt);
  json.member("mixed_chord", false);
  json.null_member("buttons");
  write_measures(judged, json);
}

void write_chord_members(const pipeline::ChordChange& change, JsonWriter& json) {
  const auto& best = change.chord.best;
  json.member("name", harmony::to_text(best));
  json.member("root", harmony::pitch_class_text(best.root));
  json.member("quality", harmony::chord_kinds()[best.kind].quality);
  json.key("bass");
  if (best.bass == best.root) {
    json.null();
  } else {
    json.value(harmony::pitch_class_text(best.bass));
  }
  json.key("notes");
  json.begin_array();
  for (const auto note : change.notes) json.value(note);
  json.end_array();
  write_others(change.chord, json);
}

void write_finding_members(const diagnosis::Finding& finding, JsonWriter& json) {
  const auto& rule = diagnosis::text_of(finding.rule);
  json.member("id", diagnosis::id_of(finding));
  json.member("rule", rule.name);
  json.member("severity", diagnosis::to_text(finding.severity));
  json.member("src", finding.src);
  json.member("decided_ns", finding.decided_ns);
  json.member("byte", finding.byte);
  json.member("channel", finding.channel);
  json.member("note", finding.note);
  json.member("string", finding.string);
  json.member("count", finding.count);
  json.member("at_end", finding.at_end);
  json.member("text", diagnosis::text_of(finding));
  json.key("causes");
  json.begin_array();
  for (const char* cause : rule.causes) json.value(cause);
  json.end_array();
  write_texts("related", diagnosis::related_of(finding), json);
  json.key("doubt");
  if (const char* doubt = diagnosis::doubt_text(finding.doubt)) {
    json.value(doubt);
  } else {
    json.null();
  }
}

Result<Done> write_audit(const AuditInput& input, const Pipeline& pipeline,
                         const AuditCollector& collector, session::ByteSink& sink,
                         std::string_view ending) {
  if (collector.failure()) return *collector.failure();
  const auto totals = total(pipeline);
  PieceWriter pieces(sink);
  std::string text;
  JsonWriter json(text);
  json.begin_object();
  write_input(input, pipeline, totals, json);
  write_settings(pipeline.settings(), json);
  json.null_member("instrument");
  json.member("version", STRUMWRIGHT_VERSION);
  if (input.interrupted) json.member("interrupted", true);
  write_wire(totals, json);
  write_notes(totals, json);
  if (collector.strums() != nullptr) {
    json.key("strums");
    if (totals.all_without_times) {
      json.null();
    } else {
      json.begin_array();
      pieces.write(text);
      pieces.write(*collector.strums());
      json.end_array();
    }
  }
  json.member("loose_onsets",
              totals.all_without_times ? std::nullopt : std::optional(totals.loose_onsets));
  if (collector.chords() != nullptr) {
    json.key("chords");
    json.begin_array();
    pieces.write(text);
    pieces.write(*collector.chords());
    json.end_array();
  }
  write_findings(collector.findings(), json);
  write_not_judged(pipeline, json);
  write_counts(collector.findings(), json);
  json.end_object();
  text += ending;
  pieces.write(text);
  return pieces.result();
}

}  // namespace strumwright::publish
