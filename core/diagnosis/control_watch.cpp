// core/diagnosis/control_watch.cpp
#include "core/diagnosis/control_watch.h"

#include "core/limits.h"

namespace strumwright::diagnosis {
namespace {

bool is_control(const midi::Event& message) {
  const unsigned kind = message.code() & 0xF0U;
  return kind == midi::control_change || kind == midi::program_change;
}

/// The bytes of the message, status first.
std::uint32_t bytes_of(const midi::Event& message) {
  const bool program = (message.code() & 0xF0U) == midi::program_change;
  const std::uint32_t value = program ? 0 : message.data2();
  return std::uint32_t{message.code()} << 16U | std::uint32_t{message.data1()} << 8U | value;
}

}  // namespace

std::optional<Finding> ControlWatch::push(const midi::Event& message) {
  if (!is_control(message)) return std::nullopt;
  if (!control_since_) control_since_ = message;
  forget_until(message.t_ns - flood_window_ns);
  const Key key = bytes_of(message);
  sent_.push_back({message.t_ns, key});
  Episode& episode = episodes_[key];
  if (++episode.in_window <= flood_fair_count || episode.named) return std::nullopt;
  episode.named = true;
  auto finding = make(Rule::control_flood, message.t_ns, message);
  finding.decided_ns = message.t_ns;
  finding.count = episode.in_window;
  finding.amount = key;
  return finding;
}

/// Drops what has left the window, and the oldest where too many would be kept.
void ControlWatch::forget_until(std::int64_t t_ns) {
  while (!sent_.empty() && (sent_.front().t_ns <= t_ns || sent_.size() >= messages_kept)) {
    const auto episode = episodes_.find(sent_.front().key);
    if (--episode->second.in_window == 0) episodes_.erase(episode);
    sent_.pop_front();
  }
}

void ControlWatch::onset(const strum::Onset& onset) {
  const bool silent = last_onset_ && onset.t_ns - last_onset_->t_ns >= stall_limit_ns;
  if (silent && control_since_ && stalls_.size() < limits::stroke_onsets) {
    stalls_.push_back(
        {last_onset_->t_ns, onset.t_ns, last_onset_->byte, onset.byte, *control_since_});
  }
  last_onset_ = onset;
  control_since_.reset();
}

void ControlWatch::stroke(const strum::Stroke& stroke, std::int64_t decided_ns,
                          std::vector<Finding>& findings) {
  const std::uint64_t first_byte = stroke.onsets.front().byte;
  const std::uint64_t last_byte = stroke.onsets.back().byte;
  std::size_t past = 0;
  for (const Stall& stall : stalls_) {
    if (stall.to_byte > last_byte) break;
    ++past;
    if (stall.from_byte < first_byte) continue;
    auto finding = make(Rule::timing_stall, stall.from_ns, stall.control);
    finding.decided_ns = decided_ns;
    finding.other_ns = stall.to_ns;
    finding.amount = stall.to_ns - stall.from_ns;
    findings.push_back(finding);
  }
  stalls_.erase(stalls_.begin(), stalls_.begin() + static_cast<std::ptrdiff_t>(past));
}

Finding ControlWatch::make(Rule rule, std::int64_t t_ns, const midi::Event& message) const {
  Finding finding;
  finding.rule = rule;
  finding.severity = text_of(rule).severity;
  finding.src = src_;
  finding.t_ns = t_ns;
  finding.byte = message.byte();
  finding.channel = static_cast<std::uint8_t>((message.code() & 15U) + 1U);
  return finding;
}

}  // namespace strumwright::diagnosis
