// core/pipeline/pipeline.cpp
#include "core/pipeline/pipeline.h"

#include <algorithm>
#include <cassert>
#include <utility>

#include "core/midi/status.h"
#include "core/pipeline/byte_clock.h"
#include "core/pipeline/source_chain.h"

namespace strumwright::pipeline {
namespace {

using session::Entry;

constexpr const char* why_not_raw =
    "this source hands over whole messages, so what a wire carried cannot be seen; a serial line, "
    "a raw MIDI device file or a dump of the bytes shows it";
constexpr const char* why_no_line =
    "it needs a recording of the line itself, which this version cannot read yet";
constexpr const char* why_no_instrument = "it needs an instrument description";
constexpr const char* why_no_times = "the input has no times";
constexpr const char* why_batched =
    "the stamps came in batches: it was judged only up to the first batch, if at all";
constexpr const char* why_stuck_no_times =
    "without trusted times only notes down at the end are judged, not those held too long";

/// Rules that batched stamps do not spoil, but that no stamps at all do.
bool needs_some_times(diagnosis::Rule rule) {
  using diagnosis::Rule;
  switch (rule) {
    case Rule::note_burst_short:
    case Rule::chord_unknown:
    case Rule::wire_backlog:
    case Rule::wire_silent:
    case Rule::wire_status_age:
    case Rule::control_flood:
      return true;
    default:
      return false;
  }
}

}  // namespace

struct Pipeline::Impl {
  struct Source {
    SourceChain chain;
    ByteClock clock;
  };

  session::Settings settings;
  std::vector<Source> sources;
  std::int64_t now_ns = 0;  // nothing earlier will come
  std::optional<std::int64_t> end_ns;

  void take_due(std::int64_t t_ns);
  void take_due_of_many(std::int64_t t_ns);
  void take_waiting(Source& source, std::int64_t latest_ns);
  void fire_before(std::int64_t t_ns);
  void fire_due_before(std::int64_t t_ns);
  void put(const Entry& entry);
  [[nodiscard]] std::int64_t last_byte_end_ns() const;
  [[nodiscard]] const char* why_not_judged(const diagnosis::RuleText& rule) const;
  [[nodiscard]] const char* why_not_timed(bool order_only) const;
  [[nodiscard]] bool any(bool (*test)(const SourceChain&)) const;
};

Pipeline::Pipeline(std::vector<session::SourceInfo> sources, session::Settings settings, Sink& sink)
    : impl_(std::make_unique<Impl>()) {
  impl_->settings = settings;
  std::uint16_t src = 0;
  for (auto& info : sources) {
    impl_->sources.push_back({SourceChain(src++, std::move(info), settings, sink), {}});
  }
}

Pipeline::~Pipeline() = default;
Pipeline::Pipeline(Pipeline&&) noexcept = default;

// --- Time ------------------------------------------------------------------------------------

/// Fires every deadline before `t_ns`, over all sources, in order of deadline, source, analyser.
///
/// Where an open message stops holding its source back on the way, what the others owe until then
/// fires first: the order is the same whether or not somebody asked in between.
void Pipeline::Impl::fire_before(std::int64_t t_ns) {
  std::vector<std::int64_t> stops;
  if (sources.size() > 1) {
    for (const auto& source : sources) {
      const auto held_ns = source.chain.held_until_ns();
      if (held_ns && *held_ns < t_ns) stops.push_back(*held_ns);
    }
    std::sort(stops.begin(), stops.end());
  }
  for (const std::int64_t stop_ns : stops) {
    fire_due_before(stop_ns);
    fire_due_before(stop_ns + 1);
  }
  fire_due_before(t_ns);
}

void Pipeline::Impl::fire_due_before(std::int64_t t_ns) {
  for (;;) {
    Source* next = nullptr;
    std::optional<SourceChain::Due> first;
    for (auto& source : sources) {
      const auto due = source.chain.due_before(t_ns);
      if (due && (!first || due->deadline_ns < first->deadline_ns)) {
        first = due;
        next = &source;
      }
    }
    if (next == nullptr) return;
    next->chain.fire(*first);
  }
}

/// Hands on the waiting bytes that begin at or before `t_ns`.
void Pipeline::Impl::take_due(std::int64_t t_ns) {
  if (sources.size() != 1) return take_due_of_many(t_ns);
  // The chain of a single source keeps the order by itself, block by block.
  auto& source = sources.front();
  source.chain.take(source.clock.take_until(t_ns, SIZE_MAX));
}

/// Several sources: byte by byte in order of time, then of source, so that what each decides comes
/// out in the same order however the chunks were cut.
void Pipeline::Impl::take_due_of_many(std::int64_t t_ns) {
  for (;;) {
    Source* next = nullptr;
    std::int64_t first_ns = 0;
    for (auto& source : sources) {
      const auto due_ns = source.clock.next_ns();
      if (due_ns && *due_ns <= t_ns && (next == nullptr || *due_ns < first_ns)) {
        first_ns = *due_ns;
        next = &source;
      }
    }
    if (next == nullptr) return;
    fire_before(first_ns);
    next->chain.take(next->clock.take_until(first_ns, 1));
  }
}

/// The rest of a source's bytes, none later than `latest_ns`: its next chunk began, or it went.
void Pipeline::Impl::take_waiting(Source& source, std::int64_t latest_ns) {
  while (source.clock.next_ns()) source.chain.take(source.clock.take_all(latest_ns, SIZE_MAX));
}

void Pipeline::advance(std::int64_t t_ns) {
  if (t_ns < impl_->now_ns) return;
  impl_->take_due(t_ns);
  impl_->fire_before(t_ns);
  impl_->now_ns = t_ns;
}

// --- Entries ---------------------------------------------------------------------------------

void Pipeline::push(const Entry& entry) {
  assert(entry.t_ns >= impl_->now_ns);
  advance(entry.t_ns);
  impl_->put(entry);
}

void Pipeline::Impl::put(const Entry& entry) {
  if (entry.kind == Entry::Kind::settings) {
    settings = entry.settings;
    for (auto& source : sources) source.chain.set(settings);
  }
  if (entry.kind == Entry::Kind::end) end_ns = entry.t_ns;
  if (entry.src >= sources.size() || entry.out) return;
  auto& source = sources[entry.src];
  switch (entry.kind) {
    case Entry::Kind::chunk:
      take_waiting(source, entry.t_ns);
      source.clock.put(entry.t_ns, entry.bytes);
      take_due(entry.t_ns);
      break;
    case Entry::Kind::lost:
      take_waiting(source, entry.t_ns);
      source.chain.lose(entry.t_ns, entry.lost);
      break;
    case Entry::Kind::gone:
      take_waiting(source, entry.t_ns);
      source.chain.leave(entry.t_ns);
      break;
    case Entry::Kind::back:
      source.chain.come_back(entry.t_ns);
      break;
    case Entry::Kind::mark:
    case Entry::Kind::settings:
    case Entry::Kind::end:
      break;
  }
}

std::int64_t Pipeline::Impl::last_byte_end_ns() const {
  std::int64_t end_of_bytes_ns = 0;
  for (const auto& source : sources) {
    if (const auto last_ns = source.chain.last_byte_ns()) {
      end_of_bytes_ns = std::max(end_of_bytes_ns, *last_ns + midi::byte_ns);
    }
  }
  return end_of_bytes_ns;
}

void Pipeline::finish() {
  impl_->take_due(INT64_MAX);
  const std::int64_t settle_ns = std::max(impl_->now_ns, impl_->last_byte_end_ns());
  impl_->fire_before(settle_ns);
  impl_->now_ns = settle_ns;
  for (auto& source : impl_->sources) source.chain.finish(settle_ns);
}

// --- What documents show ---------------------------------------------------------------------

std::size_t Pipeline::source_count() const { return impl_->sources.size(); }

SourceState Pipeline::state(std::size_t src) const {
  auto& source = impl_->sources[src];
  if (!source.clock.next_ns()) return source.chain.state(impl_->now_ns);
  // The rest of the newest chunk waits until its times are certain: up to then a copy shows it.
  Sink nobody;
  Impl::Source preview = source;
  preview.chain.set_sink(nobody);
  impl_->take_waiting(preview, INT64_MAX);
  return preview.chain.state(impl_->now_ns);
}

const session::SourceInfo& Pipeline::source(std::size_t src) const {
  return impl_->sources[src].chain.info();
}

const session::Settings& Pipeline::settings() const { return impl_->settings; }

std::optional<std::int64_t> Pipeline::duration_ns() const {
  if (impl_->any([](const auto& chain) { return chain.grade() == wire::Grade::none; })) {
    return std::nullopt;
  }
  return impl_->end_ns ? *impl_->end_ns : impl_->last_byte_end_ns();
}

bool Pipeline::Impl::any(bool (*test)(const SourceChain&)) const {
  return std::any_of(sources.begin(), sources.end(),
                     [&](const auto& source) { return test(source.chain); });
}

/// Null if every source has the times (or, with `order_only`, at least an order) that a rule needs.
const char* Pipeline::Impl::why_not_timed(bool order_only) const {
  if (any([](const auto& chain) { return chain.grade() == wire::Grade::none; })) {
    return why_no_times;
  }
  if (order_only) return nullptr;
  const bool batched = any([](const auto& chain) { return !wire::can_time(chain.grade()); });
  return batched ? why_batched : nullptr;
}

const char* Pipeline::Impl::why_not_judged(const diagnosis::RuleText& rule) const {
  using diagnosis::Needs;
  switch (rule.needs) {
    case Needs::line_recording:
      return why_no_line;
    case Needs::instrument:
      return why_no_instrument;
    case Needs::raw_source:
      if (any([](const auto& chain) { return !chain.info().raw; })) return why_not_raw;
      break;
    case Needs::times:
      return why_not_timed(false);
    case Needs::nothing:
      break;
  }
  if (rule.rule == diagnosis::Rule::note_stuck) {
    return why_not_timed(false) != nullptr ? why_stuck_no_times : nullptr;
  }
  return needs_some_times(rule.rule) ? why_not_timed(true) : nullptr;
}

std::vector<NotJudged> Pipeline::not_judged() const {
  std::vector<NotJudged> list;
  for (const auto& rule : diagnosis::catalogue()) {
    if (const char* why = impl_->why_not_judged(rule)) list.push_back({rule.rule, why});
  }
  return list;
}

}  // namespace strumwright::pipeline
