// app/engine/now_keeper.cpp
#include "app/engine/now_keeper.h"

#include <algorithm>
#include <utility>

#include "core/midi/status.h"

namespace strumwright::engine {

namespace {

ToothNow tooth_of(const strum::Onset& onset) {
  return {onset.t_ns,     onset.channel.index, onset.note,
          onset.velocity, onset.place,         static_cast<std::uint8_t>(onset.role)};
}

/// Whether the stroke came without status bytes: all of its notes but the first may show it.
bool sent_running(const strum::Stroke& stroke) {
  const auto short_ones = std::count_if(stroke.onsets.begin(), stroke.onsets.end(),
                                        [](const auto& onset) { return onset.message_bytes == 2; });
  return 2 * static_cast<std::size_t>(short_ones) > stroke.onsets.size();
}

void set_stroke(const strum::Stroke& stroke, wire::Grade grade, StrokeNow& out) {
  out.start_ns = stroke.start_ns;
  out.end_ns = stroke.end_ns;
  out.span_ns = stroke.span_ns;
  out.evenness = stroke.evenness.value_or(-1.0);
  out.direction = static_cast<std::uint8_t>(stroke.direction);
  out.strum = stroke.is_strum();
  out.wire_limited = stroke.wire_limited;
  out.timed = wire::can_time(grade);
  out.running_status = sent_running(stroke);
  const std::size_t shown = std::min(stroke.onsets.size(), StrokeNow::most_teeth);
  out.tooth_count = static_cast<std::uint8_t>(shown);
  const std::uint64_t left_out = stroke.onsets.size() - shown + stroke.onsets_left_out;
  out.teeth_left_out = static_cast<std::uint16_t>(std::min<std::uint64_t>(left_out, 0xFFFF));
  std::transform(stroke.onsets.begin(), stroke.onsets.begin() + static_cast<std::ptrdiff_t>(shown),
                 out.teeth.begin(), tooth_of);
}

SourceEvent::What what_of(session::Entry::Kind kind) {
  switch (kind) {
    case session::Entry::Kind::gone:
      return SourceEvent::What::gone;
    case session::Entry::Kind::back:
      return SourceEvent::What::back;
    case session::Entry::Kind::lost:
      return SourceEvent::What::lost;
    case session::Entry::Kind::settings:
      return SourceEvent::What::settings;
    case session::Entry::Kind::end:
      return SourceEvent::What::ended;
    default:
      return SourceEvent::What::mark;
  }
}

void append_hex(std::string& text, std::uint8_t byte) {
  constexpr const char* digits = "0123456789ABCDEF";
  if (!text.empty()) text += ' ';
  text += digits[byte >> 4U];
  text += digits[byte & 0xFU];
}

}  // namespace

NowKeeper::NowKeeper(std::vector<session::SourceInfo> sources, History& history, Listener* listener)
    : sources_(std::move(sources)),
      history_(history),
      listener_(listener),
      lanes_(sources_.size()) {
  for (std::size_t src = 0; src < lanes_.size(); ++src) {
    lanes_[src].column.src = static_cast<std::uint8_t>(src);
  }
}

void NowKeeper::entry(const session::Entry& entry) {
  if (listener_ != nullptr) listener_->entry(entry);
  if (entry.src >= lanes_.size()) return;
  if (entry.kind == session::Entry::Kind::chunk) return take_bytes(entry);
  SourceEvent event;
  event.t_ns = entry.t_ns;
  event.what = what_of(entry.kind);
  event.src = static_cast<std::uint8_t>(entry.src);
  event.lost = entry.lost;
  event.text.set(entry.text);
  history_.source_events.append(event);
  set_link(entry);
  if (entry.kind == session::Entry::Kind::lost) {
    now_.lost += static_cast<std::uint64_t>(std::max<std::int64_t>(0, entry.lost));
  }
}

void NowKeeper::set_link(const session::Entry& entry) {
  using Kind = session::Entry::Kind;
  if (entry.kind != Kind::gone && entry.kind != Kind::back && entry.kind != Kind::end) return;
  lanes_[entry.src].gone = entry.kind == Kind::gone;
  const bool any_gone =
      std::any_of(lanes_.begin(), lanes_.end(), [](const Lane& lane) { return lane.gone; });
  now_.link = entry.kind == Kind::end ? Link::ended : any_gone ? Link::gone : Link::linked;
  now_.link_since_ns = entry.t_ns;
}

void NowKeeper::take_bytes(const session::Entry& chunk) {
  Lane& lane = lanes_[chunk.src];
  std::uint64_t& index = chunk.out ? lane.bytes_out : lane.bytes;
  const std::uint64_t place = std::uint64_t{chunk.src} << 8U | std::uint64_t{chunk.out} << 15U;
  std::int64_t t_ns = chunk.t_ns;
  for (const std::uint8_t byte : chunk.bytes) {
    history_.bytes.append({t_ns, index << 16U | place | byte});
    if (!chunk.out) {
      count_load(lane, t_ns);
      if (first_bytes_.size() < now_.first_bytes.text.size() - 3) append_hex(first_bytes_, byte);
    }
    ++index;
    t_ns += midi::byte_ns;
  }
  if (!chunk.out) newest_src_ = chunk.src;
}

void NowKeeper::count_load(Lane& lane, std::int64_t t_ns) {
  const std::int64_t column_ns = t_ns - t_ns % LoadColumn::width_ns;
  if (column_ns != lane.column.t_ns) flush_load(lane);
  lane.column.t_ns = column_ns;
  ++lane.column.bytes;
}

void NowKeeper::flush_load(Lane& lane) {
  if (lane.column.bytes > 0) history_.load.append(lane.column);
  lane.column.bytes = 0;
}

void NowKeeper::events(std::uint16_t src, std::span<const midi::Event> events) {
  if (listener_ != nullptr) listener_->events(src, events);
  std::int64_t t_ns = 0;
  for (const auto& event : events) {
    if (!event.is(midi::Code::count)) t_ns = event.t_ns;
    history_.events.append({t_ns, event, static_cast<std::uint8_t>(src)});
  }
}

void NowKeeper::note(std::uint16_t src, const notes::NoteFact& fact) {
  if (listener_ != nullptr) listener_->note(src, fact);
  changed_ = true;
  using What = notes::NoteFact::What;
  if (src >= lanes_.size() || (fact.what != What::start && fact.what != What::end)) return;
  OpenNote& open = lanes_[src].open[fact.key.channel.index * 128U + fact.key.number];
  if (fact.what == What::end) {
    end_span(src, fact, static_cast<std::uint8_t>(fact.how), open);
    open.velocity = 0;
    return;
  }
  if (open.velocity != 0) end_span(src, fact, NoteSpan::started_again, open);
  open = {fact.t_ns, fact.velocity};
}

void NowKeeper::end_span(std::uint16_t src, const notes::NoteFact& fact, std::uint8_t ending,
                         const OpenNote& open) {
  if (open.velocity == 0) return;  // the end of a note that only the pedal kept
  history_.notes.append({open.start_ns, fact.t_ns, fact.key.channel.index, fact.key.number,
                         open.velocity, ending, static_cast<std::uint8_t>(src)});
}

void NowKeeper::stroke(const pipeline::JudgedStroke& judged) {
  if (listener_ != nullptr) listener_->stroke(judged);
  changed_ = true;
  StrokeAt stroke;
  set_stroke(judged.stroke, judged.grade, stroke);
  stroke.serial = ++strokes_;
  stroke.final = true;
  stroke.chord = judged.chord;
  stroke.src = static_cast<std::uint8_t>(judged.src);
  final_stroke_ = stroke;
  history_.strokes.append(stroke);
}

void NowKeeper::chord(const pipeline::ChordChange& change) {
  if (listener_ != nullptr) listener_->chord(change);
  changed_ = true;
  settled_before_ = settled_;
  settled_ = change.chord;
  history_.chords.append({change.t_ns, change.chord, static_cast<std::uint8_t>(change.src)});
}

void NowKeeper::finding(const diagnosis::Finding& finding) {
  if (listener_ != nullptr) listener_->finding(finding);
  changed_ = true;
  history_.findings.append({finding});
  findings_[now_.findings_total % findings_.size()] = finding;
  ++now_.findings_total;
  switch (finding.severity) {
    case diagnosis::Severity::error:
      ++now_.errors;
      break;
    case diagnosis::Severity::warning:
      ++now_.warnings;
      break;
    case diagnosis::Severity::info:
      ++now_.infos;
      break;
  }
}

void NowKeeper::say(std::string_view notice) {
  now_.notice.set(notice);
  ++now_.notice_serial;
}

void NowKeeper::zero_sums() {
  now_.grade = wire::Grade::wire;
  now_.load_now = now_.load_peak = now_.load_mean = -1.0;
  now_.bytes = now_.messages = now_.running_used = now_.running_possible = 0;
  now_.stray_bytes = now_.text_bytes = now_.undefined = 0;
  now_.note_starts = now_.note_releases = 0;
  now_.first_byte_ns = now_.last_byte_ns = -1;
}

void NowKeeper::fill_sums(const pipeline::SourceState& state) {
  now_.grade = std::max(now_.grade, state.grade);
  now_.bytes += state.counts.bytes;
  now_.messages += state.counts.messages;
  now_.running_used += state.counts.running_used;
  now_.running_possible += state.counts.running_possible;
  now_.stray_bytes += state.stray_bytes;
  now_.text_bytes += state.text_bytes;
  now_.undefined += state.undefined;
  now_.note_starts += state.note_starts;
  now_.note_releases += state.note_releases;
  now_.load_peak = std::max(now_.load_peak, state.load_peak.value_or(-1.0));
  now_.last_byte_ns = std::max(now_.last_byte_ns, state.last_byte_ns.value_or(-1));
  const std::int64_t first_ns = state.first_byte_ns.value_or(-1);
  if (first_ns >= 0 && (now_.first_byte_ns < 0 || first_ns < now_.first_byte_ns)) {
    now_.first_byte_ns = first_ns;
  }
}

void NowKeeper::fill_music(const pipeline::SourceState& state, std::size_t src) {
  now_.raw = sources_[src].raw;
  now_.resolution_ns = sources_[src].resolution_ns.value_or(0);
  now_.load_now = state.load_now.value_or(-1.0);
  now_.load_mean = state.load_mean.value_or(-1.0);
  const auto chord = state.chord.value_or(harmony::ChordName{});
  if (chord.named != now_.chord.named || chord.best != now_.chord.best) {
    const auto& stroke = state.current_stroke;
    now_.chord_since_ns = stroke ? stroke->start_ns : final_stroke_.start_ns;
  }
  now_.chord = chord;
  // Names that a stroke passes through before it settles were no chord before this one.
  now_.chord_before = settled_.best == chord.best ? settled_before_ : settled_;
  now_.stroke = final_stroke_;
  if (!state.current_stroke) return;
  now_.stroke = StrokeNow{};
  set_stroke(*state.current_stroke, state.grade, now_.stroke);
  now_.stroke.serial = strokes_ + 1;
  now_.stroke.chord = chord;
}

void NowKeeper::fill_held(std::vector<notes::HeldNote>& held) {
  std::stable_sort(held.begin(), held.end(),
                   [](const auto& a, const auto& b) { return a.since_ns < b.since_ns; });
  now_.held_count = static_cast<std::uint32_t>(held.size());
  const std::size_t shown = std::min(held.size(), Now::most_held);
  std::copy_n(held.begin(), shown, now_.held.begin());
}

void NowKeeper::fill_findings(Now& out) const {
  const std::uint64_t total = now_.findings_total;
  out.finding_count = static_cast<std::uint32_t>(std::min<std::uint64_t>(total, findings_.size()));
  for (std::uint32_t i = 0; i < out.finding_count; ++i) {
    out.findings[i] = findings_[(total - 1 - i) % findings_.size()];
  }
}

void NowKeeper::fill(const pipeline::Pipeline& pipeline, std::int64_t t_ns, Now& out) {
  zero_sums();
  std::vector<notes::HeldNote> held;
  for (std::size_t src = 0; src < sources_.size(); ++src) {
    const auto state = pipeline.state(src);
    fill_sums(state);
    held.insert(held.end(), state.held.begin(), state.held.end());
    if (src == newest_src_) fill_music(state, src);
    Lane& lane = lanes_[src];
    if (t_ns >= lane.column.t_ns + LoadColumn::width_ns) flush_load(lane);
  }
  fill_held(held);
  now_.first_bytes.set(first_bytes_);
  now_.t_ns = t_ns;
  out = now_;
  fill_findings(out);
}

}  // namespace strumwright::engine
