// core/wire/rate_models.h
#pragma once

#include <array>
#include <cstdint>
#include <vector>

namespace strumwright::wire {

/// How likely each byte is: natural logarithms.
using ByteModel = std::array<double, 256>;

/// Part of the probability that any byte has, whatever a model says (ours).
inline constexpr double anything = 0.02;

/// Rates that a sender may have been left at. Source: common practice, no source.
inline constexpr double sender_rates[] = {1200,  2400,  4800,   9600,  19200,
                                          38400, 57600, 115200, 250000};

/// What bytes look like under each explanation.
struct RateModels {
  struct Rate {
    double baud;
    ByteModel model;
  };
  std::vector<Rate> rates;        ///< several of each rate
  std::vector<ByteModel> others;  ///< what is no rate: other messages, text, noise, anything
};

/// Computed at the first call, the same each time.
[[nodiscard]] const RateModels& rate_models();

}  // namespace strumwright::wire
