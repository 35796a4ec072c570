// core/strum/strum_tracker.h
#pragma once

#include <array>
#include <bitset>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "core/limits.h"
#include "core/strum/stroke.h"

namespace strumwright::strum {

/// Longest time between two onsets of one stroke (ours).
inline constexpr std::int64_t default_gap_ns = 120'000'000;
/// Shortest time after which a string can have been struck again (ours).
inline constexpr std::int64_t default_refractory_ns = 50'000'000;

struct StrumSettings {
  std::int64_t gap_ns = default_gap_ns;
  std::int64_t refractory_ns = default_refractory_ns;
  friend bool operator==(const StrumSettings&, const StrumSettings&) = default;
};

/// Cuts the note starts of one source into strokes: rules 1 to 6 of strums.
///
/// A stroke is given when it is final: the next one began, or the gap passed. Whether a step
/// against the direction begins a stroke (rule 3) is known only at the next onset of another place;
/// until then the onset waits, with those of its place that follow it. Of an endless run of such
/// onsets `limits::stroke_onsets` wait, then it counts as no turn.
///
/// Measures: "successive onsets that are not early" are neighbours in the list without doubles and
/// early ones, so the gap over an early onset is one gap. The gaps of `wire_limited` are those
/// between all onsets but doubles, early ones too, since each took its time on the wire. Evenness
/// and direction of a wire-limited stroke are not judged: null and mixed.
///
/// Of more than `limits::stroke_onsets` onsets only doubles are left out: a stroke has each place
/// once, so all other onsets fit.
///
/// A copyable value of bounded memory. Times never go back by more than an open message; a start
/// before the newest is taken as at it. Errors: none. Thread: its owner's only.
class StrumTracker {
 public:
  explicit StrumTracker(StrumSettings settings = {});

  /// Takes a note start; strokes that it makes final are appended to `finished`.
  void push(const Onset& onset, std::vector<Stroke>& finished);
  /// Lets time pass: the stroke is final when more than the gap has passed.
  void advance(std::int64_t t_ns, std::vector<Stroke>& finished);
  /// The input ended: the open stroke is final.
  void finish(std::vector<Stroke>& finished);
  /// Settings for the next stroke on.
  void set(StrumSettings settings);

  /// The last moment at which an onset still belongs to the open stroke; it is final after it.
  [[nodiscard]] std::optional<std::int64_t> deadline_ns() const;
  /// The stroke as far as it has come, as it would be if nothing more came (measures filled in);
  /// null if none is open. Copies the stroke: for the screen and for a question now and then.
  [[nodiscard]] std::optional<Stroke> current() const;

 private:
  /// An onset whose step goes against the direction, and those of its place that followed it.
  struct Waiting {
    Onset onset;
    StrumSettings settings;  ///< in force when it came: it may begin a stroke
  };
  static constexpr std::size_t places = std::numeric_limits<std::uint8_t>::max() + 1;
  static constexpr std::size_t doubles_kept = limits::stroke_onsets - places;

  void take(const Onset& onset, std::vector<Stroke>& finished);
  void settle(std::optional<std::uint8_t> next_place, std::vector<Stroke>& finished);
  void decide(const Waiting& waiting, std::optional<std::uint8_t> next_place,
              std::vector<Stroke>& finished);
  void place(const Onset& onset, StrumSettings settings, std::vector<Stroke>& finished);
  void begin(const Onset& onset, StrumSettings settings);
  void close(std::vector<Stroke>& finished);
  void add_step(Onset onset);
  void add_double(Onset onset);
  void remember(const Onset& onset);
  [[nodiscard]] bool goes_against(std::uint8_t from, std::uint8_t to) const;

  StrumSettings next_settings_;  ///< of the stroke that begins next
  StrumSettings settings_;       ///< of the open stroke
  bool open_ = false;
  Stroke stroke_;
  std::int64_t newest_ns_ = std::numeric_limits<std::int64_t>::min();
  int direction_ = 0;                            ///< sign of the first step; 0 before it
  std::size_t last_step_ = 0;                    ///< index of the last onset that is no double
  std::bitset<places> started_;                  ///< in this stroke
  std::array<std::int64_t, places> place_ns_{};  ///< last onset of a place, if it has started
  std::array<midi::Channel, places> place_channel_{};
  std::vector<Waiting> waiting_;
};

}  // namespace strumwright::strum
