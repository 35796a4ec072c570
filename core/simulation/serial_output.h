// core/simulation/serial_output.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/midi/stream_writer.h"
#include "core/simulation/step.h"

namespace strumwright::simulation {

/// The serial output of the simulated controller: bytes in order, never closer than a wire carries
/// them, running status or not.
///
/// With running status the status byte is sent again after `refresh_ns`, so that a receiver that
/// joins late soon follows.
class SerialOutput {
 public:
  static constexpr std::int64_t refresh_ns = 1'000'000'000;

  explicit SerialOutput(bool running_status) : running_status_(running_status) {}

  /// Sends at the step's time, or as soon as the wire is free. Returns when its first byte began.
  std::int64_t send(const Step& step);
  /// Hands over a message with the time `t_ns`, whatever the wire could carry: as a driver does
  /// that kept it.
  void hand_over(const Step& step);
  /// From now on no status byte is sent again (true), or as the options say (false).
  void withhold_status(bool withhold);

  /// Bytes without a gap between them.
  struct Run {
    std::int64_t t_ns;
    std::span<const std::uint8_t> bytes;
  };
  /// The next run of what was sent; none when all is taken. Good until the next `send`.
  std::optional<Run> take();

  [[nodiscard]] std::int64_t free_ns() const { return free_ns_; }
  [[nodiscard]] std::uint64_t bytes() const { return total_; }

 private:
  struct Stretch {
    std::int64_t t_ns;
    std::size_t begin;
    std::size_t end;
  };
  void write(const Step& step, std::int64_t t_ns);
  void clear_taken();

  bool running_status_;
  bool withhold_ = false;
  midi::StreamWriter running_{true};
  midi::StreamWriter full_{false};
  std::int64_t status_ns_ = 0;  ///< when the newest status byte began
  std::int64_t free_ns_ = 0;    ///< when the wire can begin the next byte
  std::uint64_t total_ = 0;
  std::vector<std::uint8_t> sent_;
  std::vector<Stretch> stretches_;
  std::size_t next_ = 0;
};

}  // namespace strumwright::simulation
