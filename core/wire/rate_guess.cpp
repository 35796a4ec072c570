// core/wire/rate_guess.cpp
#include "core/wire/rate_guess.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "core/midi/status.h"
#include "core/wire/rate_models.h"

namespace strumwright::wire {
namespace {

constexpr std::uint64_t looks[] = {64, 128, 256, 512};
/// How much better a rate must explain the bytes than anything else, in nats (ours, from trials:
/// streams at the nominal rate, noise and text stay well under it).
constexpr double margin_at_all = 20;
constexpr double margin_a_byte = 0.1;
/// One byte in so many must be against the standard (ours).
constexpr std::uint64_t illegal_share = 20;

/// A byte that came, and how often.
struct Seen {
  std::uint8_t byte;
  double count;
};

std::vector<Seen> seen_in(const std::array<std::uint16_t, 256>& counts) {
  std::vector<Seen> seen;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (counts[i] != 0)
      seen.push_back({static_cast<std::uint8_t>(i), static_cast<double>(counts[i])});
  }
  return seen;
}

double log_likelihood(const ByteModel& model, const std::vector<Seen>& seen) {
  double sum = 0;
  for (const auto& [byte, count] : seen) sum += count * model[byte];
  return sum;
}

struct BestRate {
  double baud;
  double fit;
  double next_fit;  ///< of the best other rate
};

BestRate best_rate(const std::vector<RateModels::Rate>& rates, const std::vector<Seen>& seen) {
  constexpr double none = -std::numeric_limits<double>::infinity();
  BestRate best{0, none, none};
  for (const auto& rate : rates) {
    const double fit = log_likelihood(rate.model, seen);
    if (fit <= best.fit) {
      if (rate.baud != best.baud) best.next_fit = std::max(best.next_fit, fit);
      continue;
    }
    if (rate.baud != best.baud) best.next_fit = best.fit;
    best.baud = rate.baud;
    best.fit = fit;
  }
  return best;
}

/// Takes the most frequent of the bytes that `fits` says; returns how often it came, 0 if none is
/// left.
template <class Fits>
double take_most(std::vector<Seen>& seen, Fits fits) {
  auto most = seen.end();
  for (auto it = seen.begin(); it != seen.end(); ++it) {
    if (fits(it->byte) && (most == seen.end() || it->count > most->count)) most = it;
  }
  if (most == seen.end()) return 0;
  const double count = most->count;
  seen.erase(most);
  return count;
}

/// Notes at the right rate, as likely as any notes could make the bytes: two statuses and three
/// velocities come as often as they do, the rest are data bytes of any value.
double any_notes(std::vector<Seen> seen, double total) {
  const auto is_status = [](std::uint8_t byte) { return byte >= 0x80 && byte < 0xA0; };
  const auto is_value = [](std::uint8_t byte) { return byte < 0x80; };
  double sum = 0;
  const auto add = [&](double count, double among) {
    if (count > 0) sum += count * std::log((1 - anything) * count / total / among);
  };
  for (int i = 0; i < 2; ++i) add(take_most(seen, is_status), 1);
  for (int i = 0; i < 3; ++i) add(take_most(seen, is_value), 1);
  double values = 0;
  for (const auto& [byte, count] : seen) {
    if (is_value(byte)) values += count;
    if (!is_value(byte)) sum += count * std::log(anything / 256);
  }
  add(values, 128);
  return sum;
}

/// One value over and over, which every rate could give by some fault of the firmware.
double repetition(const std::vector<Seen>& seen) {
  double most = 0;
  double all = 0;
  for (const auto& [byte, count] : seen) {
    most = std::max(most, count);
    all += count;
  }
  constexpr double alone = 0.95;
  return most * std::log(alone) + (all - most) * std::log((1 - alone) / 255);
}

}  // namespace

std::optional<RateClaim> RateGuess::push(std::span<const std::uint8_t> bytes) {
  for (const std::uint8_t byte : bytes) {
    if (done_) return std::nullopt;
    judge_legality(byte);
    ++counts_[byte];
    ++total_;
    if (std::find(std::begin(looks), std::end(looks), total_) == std::end(looks)) continue;
    const auto claim = look();
    done_ = claim.has_value() || total_ == looks[std::size(looks) - 1];
    if (claim) return claim;
  }
  return std::nullopt;
}

/// Counts bytes that may not stand where they do. Source: MIDI 1.0 Detailed Specification 4.2.
void RateGuess::judge_legality(std::uint8_t byte) {
  if (midi::is_real_time(byte)) {
    if (midi::is_undefined(byte)) ++illegal_;
    return;
  }
  if (!midi::is_status(byte)) {
    take_data();
    return;
  }
  const bool ends_sysex = byte == midi::sysex_end && status_ == midi::sysex_start;
  const bool undefined = midi::is_undefined(byte) || byte == midi::sysex_end;
  if (!ends_sysex && (open_ || undefined)) ++illegal_;
  missing_ = midi::data_bytes(byte);
  open_ = missing_ > 0 || byte == midi::sysex_start;
  status_ = open_ ? byte : std::uint8_t{0};
}

void RateGuess::take_data() {
  if (status_ == midi::sysex_start) return;
  if (status_ == 0) {
    ++illegal_;
    return;
  }
  open_ = --missing_ > 0;
  if (open_) return;
  missing_ = midi::data_bytes(status_);
  if (!midi::is_channel_status(status_)) status_ = 0;
}

std::optional<RateClaim> RateGuess::look() const {
  if (illegal_ * illegal_share < total_) return std::nullopt;
  const RateModels& models = rate_models();
  const auto seen = seen_in(counts_);
  const auto bytes = static_cast<double>(total_);
  double other = std::max(repetition(seen), any_notes(seen, bytes));
  for (const ByteModel& model : models.others) {
    other = std::max(other, log_likelihood(model, seen));
  }
  const auto [baud, best, next] = best_rate(models.rates, seen);
  if (best - other < margin_at_all + margin_a_byte * bytes) return std::nullopt;
  if (best - next < margin_at_all) return std::nullopt;
  return RateClaim{baud, (best - other) / bytes, total_};
}

}  // namespace strumwright::wire
