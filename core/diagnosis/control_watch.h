// core/diagnosis/control_watch.h
#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <unordered_map>
#include <vector>

#include "core/diagnosis/finding.h"
#include "core/midi/event.h"
#include "core/strum/stroke.h"

namespace strumwright::diagnosis {

/// The window in which a value that is sent again is counted, and how often it may come there.
/// Source: rules of controls, 20 a second (ours).
inline constexpr std::int64_t flood_window_ns = 1'000'000'000;
inline constexpr std::uint64_t flood_fair_count = 20;
/// Shortest silence inside a stroke that counts as a stall (ours).
inline constexpr std::int64_t stall_limit_ns = 15'000'000;

/// Watches the control and program changes of one source: `control.flood` and `timing.stall`.
///
/// Flood: the same value of a controller (or program) on a channel more than 20 times in a
/// half-open window of 1 s. Once an episode, which ends when 1 s passes without that value; `count`
/// is how many the episode had so far. Stall: 15 ms or more between two onsets of one stroke,
/// doubles included, with none between them but a control or program change. Order is that of the
/// bytes. Of the last second at most `messages_kept` messages are counted (an honest wire carries
/// 1,563). A copyable value of bounded memory. Times never go back. Thread: its owner's only.
class ControlWatch {
 public:
  static constexpr std::size_t messages_kept = 4096;

  explicit ControlWatch(std::uint16_t src) : src_(src) {}

  /// Takes any message; only control and program changes count. Returns a flood: `t_ns` and `byte`
  /// of the message that was too many, `amount` its bytes, status first (0xB0075A; the last is 0
  /// for a program).
  std::optional<Finding> push(const midi::Event& message);

  /// Takes each onset as the strum tracker does, in order with the messages.
  void onset(const strum::Onset& onset);

  /// A stroke is final: appends its stalls. `t_ns` is the onset before the silence, `other_ns` the
  /// one after it, `amount` its length; `byte` and `channel` those of the first control message in
  /// it.
  void stroke(const strum::Stroke& stroke, std::int64_t decided_ns, std::vector<Finding>& findings);

 private:
  using Key = std::uint32_t;  ///< the message's bytes, status first
  struct Sent {
    std::int64_t t_ns;
    Key key;
  };
  struct Episode {
    std::uint64_t in_window = 0;
    bool named = false;
  };
  struct Stall {
    std::int64_t from_ns;
    std::int64_t to_ns;
    std::uint64_t from_byte;
    std::uint64_t to_byte;
    midi::Event control;
  };

  void forget_until(std::int64_t t_ns);
  [[nodiscard]] Finding make(Rule rule, std::int64_t t_ns, const midi::Event& message) const;

  std::uint16_t src_;
  std::deque<Sent> sent_;                      ///< of the window
  std::unordered_map<Key, Episode> episodes_;  ///< of the values in the window
  std::optional<strum::Onset> last_onset_;
  std::optional<midi::Event> control_since_;  ///< the first since the last onset
  std::vector<Stall> stalls_;                 ///< not yet asked for by their stroke
};

}  // namespace strumwright::diagnosis
