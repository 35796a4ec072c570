// core/simulation/random.h
#pragma once

#include <cstdint>

namespace strumwright::simulation {

/// Numbers that look random and are the same for a seed on every platform, which the standard
/// library's distributions do not promise.
/// Source: G. L. Steele, D. Lea, C. H. Flood, "Fast Splittable Pseudorandom Number Generators",
/// OOPSLA 2014 (SplitMix64).
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}

  std::uint64_t next() {
    state_ += 0x9E3779B97F4A7C15U;
    std::uint64_t mixed = state_;
    mixed = (mixed ^ (mixed >> 30U)) * 0xBF58476D1CE4E5B9U;
    mixed = (mixed ^ (mixed >> 27U)) * 0x94D049BB133111EBU;
    return mixed ^ (mixed >> 31U);
  }

  /// 0 to `limit` - 1; `limit` is small, so that the bias of the remainder is too.
  std::uint64_t below(std::uint64_t limit) { return next() % limit; }

  /// `low` to `high`, both included.
  std::int64_t between(std::int64_t low, std::int64_t high) {
    return low + static_cast<std::int64_t>(below(static_cast<std::uint64_t>(high - low) + 1));
  }

  /// True once in 1 / `rate` calls; always at 1, never at 0.
  bool chance(double rate) { return static_cast<double>(next() >> 11U) * 0x1.0p-53 < rate; }

 private:
  std::uint64_t state_;
};

}  // namespace strumwright::simulation
