// core/simulation/simulator.cpp
#include "core/simulation/simulator.h"

#include <algorithm>
#include <limits>
#include <utility>

#include "core/midi/status.h"

namespace strumwright::simulation {
namespace {

using diagnosis::Rule;

constexpr std::int64_t ms = 1'000'000;

/// Strokes begin on a beat, if the one before leaves time.
constexpr std::int64_t beat_ns = 230 * ms;
constexpr std::int64_t first_stroke_ns = 400 * ms;

/// Longer than any rule looks back or waits (1 s), so that no fault colours the next.
constexpr std::int64_t between_faults_ns = 1'300 * ms;

/// Notes for longer than this without a status byte are told of.
constexpr std::int64_t status_age_ns = 10'000 * ms;

/// So many strokes take longer than `time_for` any fault but those by the clock.
constexpr std::uint64_t strokes_after_fault = 4;

constexpr std::uint64_t most_strings = Heron::lower_rank;
constexpr std::uint64_t fewest_strings = 6;

/// How many strings to play so that `notes` come out exactly at the end; none: as the hand likes.
std::optional<std::uint8_t> strings_for(std::uint64_t notes) {
  if (notes <= most_strings) return static_cast<std::uint8_t>(notes);
  if (notes < most_strings + fewest_strings) return static_cast<std::uint8_t>(fewest_strings + 2);
  return std::nullopt;
}

}  // namespace

Simulator::Simulator(SimulationOptions options)
    : options_(std::move(options)),
      hand_(options_.seed),
      random_(options_.seed + 1),
      picker_(options_.faults, options_.seed + 2),
      output_(options_.running_status),
      next_ns_(first_stroke_ns) {}

std::optional<Simulator::Chunk> Simulator::next() {
  if (!opened_) open();
  for (;;) {
    if (const auto run = output_.take()) return Chunk{run->t_ns, run->bytes};
    if (!play_bar()) return std::nullopt;
  }
}

void Simulator::send(const Step& step) {
  const std::int64_t t_ns = output_.send(step);
  if (step.mark && options_.keep_truth) {
    const auto& mark = *step.mark;
    truth_.faults.push_back({mark.rule, t_ns + mark.later_ns, mark.note, mark.string});
  }
  if (withheld_) watch_withheld(t_ns);
}

void Simulator::watch_withheld(std::int64_t t_ns) {
  if (!withheld_->since_ns) withheld_->since_ns = t_ns;
  if (withheld_->shown || t_ns - *withheld_->since_ns <= status_age_ns) return;
  withheld_->shown = true;
  if (options_.keep_truth) truth_.faults.push_back({Rule::wire_status_age, t_ns, {}, {}});
}

void Simulator::withhold_status(bool withhold) {
  output_.withhold_status(withhold);
  withheld_.reset();
  if (withhold) withheld_ = Withheld{next_ns_ + withheld_status_ns};
}

// --- The session -----------------------------------------------------------------------------

void Simulator::open() {
  opened_ = true;
  if (picker_.wants(Rule::wire_silent)) {
    finishing_ = true;
    next_ns_ = options_.duration_ns.value_or(0);
    if (options_.keep_truth) truth_.faults.push_back({Rule::wire_silent, 0, {}, {}});
    return;
  }
  if (picker_.wants(Rule::wire_joined)) {
    // The data of two notes whose status byte went before anyone listened.
    auto step = Step::raw(0, {60, 80, 64, 80});
    step.mark = FaultMark{Rule::wire_joined, {}, {}, 0};
    send(step);
    next_ns_ += between_faults_ns;
  } else if (picker_.wants(Rule::wire_backlog)) {
    // A stroke of earlier, kept by a driver and handed over in one go.
    for (const unsigned velocity : {80U, 0U}) {
      for (std::uint8_t string = 1; string <= 8; ++string) {
        const auto note = Heron::note_of({}, string);
        output_.hand_over(Step::message(0, midi::note_on, note, velocity));
      }
    }
    if (options_.keep_truth) truth_.faults.push_back({Rule::wire_backlog, 0, {}, {}});
    next_ns_ += between_faults_ns;
  }
  next_fault_ns_ = next_ns_;
}

bool Simulator::over() const {
  // A fault that shows only in the next stroke gets it.
  if (repeat_) return false;
  if (finishing_) return true;
  if (options_.strokes && strokes_ >= *options_.strokes) return true;
  if (options_.messages && messages_ + 2 > *options_.messages) return true;
  return options_.duration_ns && next_ns_ >= *options_.duration_ns;
}

std::int64_t Simulator::left_ns() const {
  std::int64_t left_ns = std::numeric_limits<std::int64_t>::max();
  if (options_.duration_ns) left_ns = *options_.duration_ns - next_ns_;
  if (options_.strokes && *options_.strokes - strokes_ < strokes_after_fault) left_ns = 0;
  return left_ns;
}

bool Simulator::play_bar() {
  if (over()) return false;
  heal();
  if (withheld_ && next_ns_ >= withheld_->until_ns) {
    withhold_status(false);
    next_fault_ns_ = next_ns_ + between_faults_ns;
  }
  const auto fault = choose_fault();
  const Bar bar = make_bar(fault);
  if (bar.withholds_status) withhold_status(true);
  send(bar);
  carry_over(bar);
  if (fault) next_fault_ns_ = output_.free_ns() + between_faults_ns;
  return true;
}

std::optional<Rule> Simulator::choose_fault() {
  picker_.draw();
  const bool free = !repeat_ && !withheld_ && next_ns_ >= next_fault_ns_;
  return free ? picker_.take(!hanging_, left_ns()) : std::nullopt;
}

// --- A bar -----------------------------------------------------------------------------------

StrokePlan Simulator::plan(bool faulty) {
  if (repeat_) return hand_.back(*std::exchange(repeat_, std::nullopt));
  StrokeLimits limits;
  limits.lower_rank_only = faulty;
  if (hanging_) limits.avoid_note = hanging_->note;
  if (options_.messages) limits.exact_strings = strings_for((*options_.messages - messages_) / 2);
  return hand_.next(limits);
}

Bar Simulator::make_bar(std::optional<Rule> fault) {
  const StrokePlan stroke = plan(fault.has_value());
  const bool ring_on = random_.below(4) == 0;
  Bar bar = play(stroke, next_ns_, ring_on, hand_);
  if (repeat_mark_) {
    for (auto& note : bar.notes) {
      if (note.string == *repeat_mark_->string) note.on_mark = repeat_mark_;
    }
    repeat_mark_.reset();
  }
  if (fault) put_in(*fault, {options_.release, options_.hold_limit_ns}, random_, bar);
  return bar;
}

void Simulator::send(const Bar& bar) {
  // While no status byte is sent, releases must go by the same status as starts.
  const auto style = withheld_ ? ReleaseStyle::velocity_zero : options_.release;
  const std::int64_t before = output_.free_ns();
  for (const auto& step : steps_of(bar, style)) {
    send(step);
    messages_ += step.is_message ? 1 : 0;
  }
  ++strokes_;
  if (!options_.keep_truth) return;
  truth_.strokes.push_back({std::max(bar.notes.front().on_ns, before), bar.stroke.up,
                            Heron::combination_of(bar.stroke.chord), bar.stroke.strings});
}

void Simulator::carry_over(const Bar& bar) {
  if (bar.hanging) hanging_ = bar.hanging;
  if (bar.repeated) repeat_ = bar.stroke;
  repeat_mark_ = bar.next_mark;
  const std::int64_t earliest_ns = output_.free_ns() + bar.rest_ns;
  const std::int64_t beats = (earliest_ns - next_ns_ + beat_ns - 1) / beat_ns;
  next_ns_ = std::max(earliest_ns, next_ns_ + beats * beat_ns);
}

void Simulator::heal() {
  if (!hanging_ || next_ns_ < hanging_->heal_ns) return;
  send(release_step(next_ns_, hanging_->note, 0, options_.release));
  hanging_.reset();
  next_ns_ += between_faults_ns;
  next_fault_ns_ = std::max(next_fault_ns_, next_ns_);
}

}  // namespace strumwright::simulation
