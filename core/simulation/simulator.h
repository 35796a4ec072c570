// core/simulation/simulator.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/simulation/bar.h"
#include "core/simulation/fault_maker.h"
#include "core/simulation/fault_picker.h"
#include "core/simulation/hand.h"
#include "core/simulation/serial_output.h"
#include "core/simulation/step.h"

namespace strumwright::simulation {

/// A stroke that was played, as the truth tells it.
struct StrokeTruth {
  std::int64_t t_ns = 0;  ///< first byte of its first note
  bool up = true;
  std::uint8_t combination = 0;       ///< see Heron::button_names
  std::vector<std::uint8_t> strings;  ///< in the order in which they were struck
};

struct SimulationOptions {
  std::uint64_t seed = 1;
  ReleaseStyle release = ReleaseStyle::velocity_zero;
  bool running_status = false;
  std::vector<FaultRate> faults;  ///< rules that cannot be put in are left out
  std::int64_t hold_limit_ns = 30'000'000'000;
  // The session ends at the first of these; without one it is endless.
  std::optional<std::uint64_t> strokes;
  std::optional<std::int64_t> duration_ns;
  std::optional<std::uint64_t> messages;  ///< exactly so many if there are no faults; even, >= 12
  bool keep_truth = false;                ///< else nothing is kept, and memory stays flat
};

/// The simulated Heron: a hand plays it, its firmware sends, with faults put in on purpose.
///
/// The same options give the same bytes and times on every platform. A session without faults gives
/// no finding. Each fault stands alone: 1.3 s and more from the next. Thread: its owner's only.
class Simulator {
 public:
  explicit Simulator(SimulationOptions options);

  /// Bytes sent without a gap, byte k at `t_ns + k * 320,000`; good until the next call. Times
  /// never go back. None: the session has ended.
  struct Chunk {
    std::int64_t t_ns;
    std::span<const std::uint8_t> bytes;
  };
  std::optional<Chunk> next();

  /// No stroke follows the one under way: `next` gives what is left of it, then nothing.
  void finish() { finishing_ = true; }

  /// Of what has been sent so far; empty unless `keep_truth`. `bytes` runs ahead of `next` by at
  /// most a stroke until the session has ended.
  struct Truth {
    std::vector<StrokeTruth> strokes;
    std::vector<FaultTruth> faults;  ///< by the order in which they were put in
  };
  [[nodiscard]] const Truth& truth() const { return truth_; }
  [[nodiscard]] std::uint64_t bytes() const { return output_.bytes(); }
  /// When the session's last byte has been sent and its last deadline passed.
  [[nodiscard]] std::int64_t end_ns() const { return next_ns_; }

 private:
  /// While no status byte is sent.
  struct Withheld {
    std::int64_t until_ns;
    std::optional<std::int64_t> since_ns = {};  ///< the last status byte
    bool shown = false;                         ///< so long that a receiver must notice
  };

  bool play_bar();
  void open();
  [[nodiscard]] bool over() const;
  [[nodiscard]] std::int64_t left_ns() const;
  std::optional<diagnosis::Rule> choose_fault();
  Bar make_bar(std::optional<diagnosis::Rule> fault);
  StrokePlan plan(bool faulty);
  void carry_over(const Bar& bar);
  void heal();
  void withhold_status(bool withhold);
  void watch_withheld(std::int64_t t_ns);
  void send(const Bar& bar);
  void send(const Step& step);

  SimulationOptions options_;
  Hand hand_;
  Random random_;
  FaultPicker picker_;
  SerialOutput output_;
  Truth truth_;

  bool opened_ = false;
  bool finishing_ = false;
  std::int64_t next_ns_ = 0;        ///< when the next stroke begins
  std::int64_t next_fault_ns_ = 0;  ///< not earlier
  std::optional<Withheld> withheld_;
  std::uint64_t strokes_ = 0;
  std::uint64_t messages_ = 0;
  std::optional<Hanging> hanging_;
  std::optional<StrokePlan> repeat_;  ///< the next stroke, to show the last one's fault
  std::optional<FaultMark> repeat_mark_;
};

}  // namespace strumwright::simulation
