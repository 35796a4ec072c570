// core/diagnosis/strum_judge.h
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/diagnosis/finding.h"
#include "core/harmony/chord_name.h"
#include "core/strum/stroke.h"

namespace strumwright::diagnosis {

/// Shortest time that a chord between two others can have been meant (ours).
inline constexpr std::int64_t passing_limit_ns = 60'000'000;

/// When a final stroke was judged, and how well it was timed.
struct StrokeVerdict {
  bool timed = true;  ///< the grade at its last onset allows spans
  bool at_end = false;
  std::int64_t decided_ns = 0;
};

/// Turns final strokes and settled chords of one source into findings: `strum.doubled`,
/// `strum.wire-limited`, `chord.unknown`, `chord.passing`.
///
/// A copyable value. Thread: its owner's only.
class StrumJudge {
 public:
  explicit StrumJudge(std::uint16_t src) : src_(src) {}

  void stroke(const strum::Stroke& stroke, const harmony::ChordName& chord,
              const StrokeVerdict& verdict, std::vector<Finding>& findings) const;

  /// The settled name changed with the stroke that began at `t_ns`.
  void chord_changed(std::int64_t t_ns, harmony::Reading name, const StrokeVerdict& verdict,
                     std::vector<Finding>& findings);

 private:
  struct Change {
    std::int64_t t_ns;
    harmony::Reading name;
  };

  [[nodiscard]] Finding make(Rule rule, std::int64_t t_ns, const StrokeVerdict& verdict) const;

  std::uint16_t src_;
  std::optional<Change> newest_;
  std::optional<Change> before_;
};

}  // namespace strumwright::diagnosis
