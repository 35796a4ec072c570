// core/simulation/bar.h
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/simulation/hand.h"
#include "core/simulation/step.h"

namespace strumwright::simulation {

enum class ReleaseStyle : std::uint8_t { velocity_zero, note_off };

/// A note that the firmware plays for a string: it remembers what it started, so that a change of
/// chord cannot make it release another.
struct PlayedNote {
  std::uint8_t string = 0;
  std::uint8_t note = 0;
  std::int64_t on_ns = 0;
  std::int64_t off_ns = 0;
  bool released = true;
  // How a faulty firmware releases it.
  std::uint8_t off_note = 0;
  std::uint8_t off_channel = 0;
  std::optional<FaultMark> on_mark;
  std::optional<FaultMark> off_mark;
};

/// A note left down by a fault, and when the firmware comes to its senses.
struct Hanging {
  std::uint8_t note = 0;
  std::int64_t heal_ns = 0;
};

/// One stroke of the hand and all that the firmware makes of it, until the strings are silent.
struct Bar {
  StrokePlan stroke;
  std::vector<PlayedNote> notes;       ///< by start
  std::vector<Step> extra;             ///< what is sent besides
  std::int64_t rest_ns = 0;            ///< silence after it, at least
  std::optional<Hanging> hanging;      ///< left by it
  std::optional<FaultMark> next_mark;  ///< the fault shows when this string starts in the next bar
  bool repeated = false;               ///< the next bar is the same strings back
  bool withholds_status = false;       ///< and so do the bars of the next seconds

  /// When the last string has been struck.
  [[nodiscard]] std::int64_t last_on_ns() const { return notes.back().on_ns; }
  /// A moment after the last release.
  [[nodiscard]] std::int64_t quiet_ns() const;
  /// Moves all from note `k` on.
  void delay_from(std::size_t k, std::int64_t by_ns);
};

/// How long a string rings after it was struck.
inline constexpr std::int64_t ring_ns = 350'000'000;

/// The bar of a clean stroke that begins at `start_ns`. `ring_on`: all strings ring until the hand
/// lifts, and are released in one burst; else each after its own time.
[[nodiscard]] Bar play(const StrokePlan& stroke, std::int64_t start_ns, bool ring_on, Hand& hand);

/// What the bar sends, in order.
[[nodiscard]] std::vector<Step> steps_of(const Bar& bar, ReleaseStyle style);
/// A release of `note` on the channel with that index.
[[nodiscard]] Step release_step(std::int64_t t_ns, std::uint8_t note, std::uint8_t channel,
                                ReleaseStyle style);

}  // namespace strumwright::simulation
