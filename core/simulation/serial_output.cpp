// core/simulation/serial_output.cpp
#include "core/simulation/serial_output.h"

#include <algorithm>

#include "core/midi/status.h"

namespace strumwright::simulation {
namespace {

/// A longer run is cut here, so that no chunk grows without bound.
constexpr std::size_t longest_run = 64;

}  // namespace

void SerialOutput::withhold_status(bool withhold) {
  // The first message of either kind carries its status.
  if (withhold != withhold_) running_.forget();
  withhold_ = withhold;
}

void SerialOutput::clear_taken() {
  if (next_ < stretches_.size()) return;
  sent_.clear();
  stretches_.clear();
  next_ = 0;
}

void SerialOutput::write(const Step& step, std::int64_t t_ns) {
  if (!step.is_message) {
    sent_.insert(sent_.end(), step.bytes.begin(), step.bytes.begin() + step.size);
    // The bytes may have ended the running status.
    if (!midi::is_real_time(step.bytes[0]) || step.size > 1) running_.forget();
    return;
  }
  const bool old = t_ns - status_ns_ > refresh_ns;
  if (old && !withhold_) running_.forget();
  const std::size_t begin = sent_.size();
  auto& writer = running_status_ || withhold_ ? running_ : full_;
  writer.append(step.bytes[0], step.bytes[1], step.bytes[2], sent_);
  if (midi::is_status(sent_[begin])) status_ns_ = t_ns;
}

std::int64_t SerialOutput::send(const Step& step) {
  clear_taken();
  const std::int64_t t_ns = std::max(step.t_ns, free_ns_);
  const std::size_t begin = sent_.size();
  write(step, t_ns);
  const bool joins = !stretches_.empty() && t_ns == free_ns_ &&
                     sent_.size() - stretches_.back().begin <= longest_run;
  if (joins) {
    stretches_.back().end = sent_.size();
  } else {
    stretches_.push_back({t_ns, begin, sent_.size()});
  }
  total_ += sent_.size() - begin;
  free_ns_ = t_ns + static_cast<std::int64_t>(sent_.size() - begin) * midi::byte_ns;
  return t_ns;
}

void SerialOutput::hand_over(const Step& step) {
  clear_taken();
  const std::size_t begin = sent_.size();
  write(step, step.t_ns);
  stretches_.push_back({step.t_ns, begin, sent_.size()});
  total_ += sent_.size() - begin;
  free_ns_ = step.t_ns + static_cast<std::int64_t>(sent_.size() - begin) * midi::byte_ns;
}

std::optional<SerialOutput::Run> SerialOutput::take() {
  if (next_ == stretches_.size()) return std::nullopt;
  const auto& stretch = stretches_[next_++];
  return Run{stretch.t_ns, {sent_.data() + stretch.begin, stretch.end - stretch.begin}};
}

}  // namespace strumwright::simulation
