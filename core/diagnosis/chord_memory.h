// core/diagnosis/chord_memory.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <optional>

#include "core/harmony/chord_name.h"

namespace strumwright::diagnosis {

/// Which chord name was in force when: the newest changes of the settled name (256 of them, ours).
/// A copyable value. Thread: its owner's only.
class ChordMemory {
 public:
  static constexpr std::size_t most_changes = 256;

  /// A name settled for a stroke that began at `t_ns`; times do not go back.
  void settle(std::int64_t t_ns, harmony::Reading name);

  /// The name in force at `t_ns`; none if none was heard yet, or it is forgotten.
  [[nodiscard]] std::optional<harmony::Reading> in_force(std::int64_t t_ns) const;

 private:
  struct Change {
    std::int64_t t_ns;
    harmony::Reading name;
  };
  std::deque<Change> changes_;
};

}  // namespace strumwright::diagnosis
