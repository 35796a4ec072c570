// core/wire/load_meter.cpp
#include "core/wire/load_meter.h"

#include "core/midi/status.h"

namespace strumwright::wire {

void LoadMeter::push(std::int64_t first_ns, std::int64_t step_ns, std::size_t count,
                     std::vector<Overload>& overloads) {
  if (count == 0) return;
  if (total_ == 0) first_ns_ = newest_ns_ = first_ns;
  std::uint64_t rest = count;
  if (first_ns < newest_ns_) {
    const std::int64_t behind_ns = newest_ns_ - first_ns;
    const std::uint64_t late =
        step_ns == 0
            ? rest
            : std::min(rest, static_cast<std::uint64_t>((behind_ns + step_ns - 1) / step_ns));
    this->count({newest_ns_, 0, late}, overloads);
    rest -= late;
    first_ns += static_cast<std::int64_t>(late) * step_ns;
  }
  if (rest != 0) this->count({first_ns, step_ns, rest}, overloads);
}

std::optional<double> LoadMeter::mean() const {
  if (total_ == 0) return std::nullopt;
  const auto wire_ns = static_cast<double>(total_) * static_cast<double>(midi::byte_ns);
  return wire_ns / static_cast<double>(newest_ns_ + midi::byte_ns - first_ns_);
}

double LoadMeter::at(std::int64_t t_ns) const {
  const std::int64_t out_ns = t_ns - load_window_ns;
  std::uint64_t bytes = 0;
  for (auto run = runs_.rbegin(); run != runs_.rend() && run->last_ns() > out_ns; ++run) {
    bytes += run->count;
    if (run->first_ns > out_ns) continue;
    bytes -= static_cast<std::uint64_t>((out_ns - run->first_ns) / run->step_ns + 1);
  }
  return static_cast<double>(bytes) / load_window_bytes;
}

/// Takes a run into the count; byte by byte only where a byte could make a new peak or pass 90 %.
void LoadMeter::count(Run run, std::vector<Overload>& overloads) {
  total_ += run.count;
  newest_ns_ = run.last_ns();
  run = keep(run);
  drop_until(run.first_ns - load_window_ns);
  // What leaves the window during the run is still in `held_`: it can only be too high.
  if (held_ + run.count <= std::min(most_, load_fair_bytes)) {
    held_ += run.count;
    over_ = false;
    return;
  }
  for (std::uint64_t i = 0; i < run.count; ++i) {
    const std::int64_t t_ns = run.first_ns + static_cast<std::int64_t>(i) * run.step_ns;
    drop_until(t_ns - load_window_ns);
    most_ = std::max(most_, ++held_);
    const bool over = held_ > load_fair_bytes;
    if (over && !over_) {
      overloads.push_back(
          {runs_.front().first_ns, t_ns, static_cast<double>(held_) / load_window_bytes});
    }
    over_ = over;
  }
}

/// Whether the run continues the newest one at the same step.
bool LoadMeter::goes_on(const Run& run) const {
  const Run& last = runs_.back();
  const std::int64_t step_ns = run.first_ns - last.last_ns();
  return (run.step_ns == step_ns || run.count == 1) && (last.step_ns == step_ns || last.count == 1);
}

/// Remembers the run; returns it as it is counted.
LoadMeter::Run LoadMeter::keep(Run run) {
  if (runs_.size() >= runs_kept) {
    drop_until(run.first_ns - load_window_ns);
    if (runs_.size() >= runs_kept) run = {runs_.back().last_ns(), 0, run.count};
  }
  if (!runs_.empty() && goes_on(run)) {
    Run& last = runs_.back();
    last.step_ns = run.first_ns - last.last_ns();
    last.count += run.count;
  } else {
    runs_.push_back(run);
  }
  return run;
}

/// Forgets the bytes up to and including `t_ns`.
void LoadMeter::drop_until(std::int64_t t_ns) {
  while (!runs_.empty() && runs_.front().first_ns <= t_ns) {
    Run& oldest = runs_.front();
    if (oldest.last_ns() <= t_ns) {
      held_ -= oldest.count;
      runs_.pop_front();
    } else {
      --held_;
      --oldest.count;
      oldest.first_ns += oldest.step_ns;
    }
  }
}

}  // namespace strumwright::wire
