// core/simulation/step.h
#pragma once

#include <array>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <vector>

#include "core/diagnosis/rule.h"

namespace strumwright::simulation {

/// A fault put in on purpose, as the truth tells it.
struct FaultTruth {
  diagnosis::Rule rule{};
  std::int64_t t_ns = 0;
  std::optional<std::uint8_t> note;
  std::optional<std::uint8_t> string;
};

/// Which fault a step is the evidence of.
struct FaultMark {
  diagnosis::Rule rule{};
  std::optional<std::uint8_t> note;
  std::optional<std::uint8_t> string;
  std::int64_t later_ns = 0;  ///< from the step's first byte to where the fault is seen
};

/// Bytes that the firmware hands to its serial output at a time.
struct Step {
  std::int64_t t_ns = 0;   ///< not earlier
  bool is_message = true;  ///< a channel message; else bytes as they are
  std::array<std::uint8_t, 16> bytes{};
  std::uint8_t size = 0;
  std::optional<FaultMark> mark;

  static Step message(std::int64_t t_ns, unsigned status, unsigned data1, unsigned data2) {
    return make(t_ns, true, {status, data1, data2});
  }
  static Step raw(std::int64_t t_ns, std::initializer_list<unsigned> bytes) {
    return make(t_ns, false, bytes);
  }

 private:
  static Step make(std::int64_t t_ns, bool is_message, std::initializer_list<unsigned> bytes) {
    Step step;
    step.t_ns = t_ns;
    step.is_message = is_message;
    for (const unsigned byte : bytes) step.bytes[step.size++] = static_cast<std::uint8_t>(byte);
    return step;
  }
};

}  // namespace strumwright::simulation
