// core/strum/stroke_measures.cpp
#include "core/strum/stroke_measures.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdlib>

namespace strumwright::strum {
namespace {

/// Set of places that answers how many of its members are lower than one: its rank.
class PlaceSet {
 public:
  void add(std::uint8_t place) { bits_[place >> 6U] |= bit_of(place); }
  [[nodiscard]] std::int64_t lower_than(std::uint8_t place) const {
    const std::size_t word = place >> 6U;
    std::int64_t count = std::popcount(bits_[word] & (bit_of(place) - 1));
    for (std::size_t i = 0; i < word; ++i) count += std::popcount(bits_[i]);
    return count;
  }

 private:
  static std::uint64_t bit_of(std::uint8_t place) { return std::uint64_t{1} << (place & 63U); }
  std::array<std::uint64_t, 4> bits_{};
};

/// Whether the gap is what the earlier message takes on the wire, within the tolerance.
bool is_wire_time(std::int64_t gap_ns, const Onset& earlier) {
  const std::int64_t wire_ns = earlier.message_bytes * midi::byte_ns;
  return std::abs(gap_ns - wire_ns) * 100 <= wire_ns * wire_time_tolerance_percent;
}

}  // namespace

Direction direction_of(const std::vector<std::uint8_t>& places) {
  PlaceSet set;
  for (const std::uint8_t place : places) set.add(place);
  std::int64_t order = 0;
  std::int64_t squares = 0;
  for (const std::uint8_t place : places) {
    const std::int64_t d = set.lower_than(place) - order++;
    squares += d * d;
  }
  // The correlation against +-0.5 in whole numbers, so that the edge is exact.
  const std::int64_t whole = order * (order * order - 1);
  if (whole == 0) return Direction::mixed;
  if (12 * squares <= whole) return Direction::up;
  return 4 * squares >= whole ? Direction::down : Direction::mixed;
}

std::optional<double> evenness_of(const std::vector<std::int64_t>& gaps_ns) {
  if (gaps_ns.size() < 2) return std::nullopt;
  const auto count = static_cast<double>(gaps_ns.size());
  double sum = 0;
  for (const std::int64_t gap_ns : gaps_ns) sum += static_cast<double>(gap_ns);
  if (sum == 0) return std::nullopt;
  const double mean = sum / count;
  double squares = 0;
  for (const std::int64_t gap_ns : gaps_ns) {
    const double d = static_cast<double>(gap_ns) - mean;
    squares += d * d;
  }
  return std::max(0.0, 1.0 - std::sqrt(squares / count) / mean);
}

void measure(Stroke& stroke) {
  std::vector<std::uint8_t> places;
  std::vector<std::int64_t> even_gaps_ns;
  const Onset* before = nullptr;
  const Onset* even_before = nullptr;
  std::int64_t on_wire = 0;
  for (const Onset& onset : stroke.onsets) {
    if (onset.role == Role::doubled) continue;
    places.push_back(onset.place);
    if (before != nullptr) on_wire += is_wire_time(onset.t_ns - before->t_ns, *before) ? 1 : 0;
    before = &onset;
    if (onset.role == Role::early) continue;
    if (even_before != nullptr) even_gaps_ns.push_back(onset.t_ns - even_before->t_ns);
    even_before = &onset;
  }
  stroke.steps = static_cast<int>(places.size());
  stroke.span_ns = before == nullptr ? 0 : before->t_ns - stroke.start_ns;
  const std::int64_t gaps = stroke.steps - 1;
  stroke.wire_limited = gaps > 0 && on_wire * 100 >= gaps * wire_limited_percent;
  stroke.direction = stroke.wire_limited ? Direction::mixed : direction_of(places);
  stroke.evenness = stroke.wire_limited ? std::nullopt : evenness_of(even_gaps_ns);
}

void distrust_times(Stroke& stroke) {
  std::vector<std::uint8_t> places;
  for (const Onset& onset : stroke.onsets) {
    if (onset.role != Role::doubled) places.push_back(onset.place);
  }
  stroke.wire_limited = false;
  stroke.evenness.reset();
  stroke.direction = direction_of(places);
}

}  // namespace strumwright::strum
