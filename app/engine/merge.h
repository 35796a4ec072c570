// app/engine/merge.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <vector>

#include "app/io/stamped_ring.h"

namespace strumwright::engine {

/// How long an item of one source waits for an earlier one of another. Rules, section 1.
inline constexpr std::int64_t hold_back_ns = 5'000'000;

/// Brings the rings of a session into one order by stamp.
///
/// One source is never held back. Of several, an item goes when no other source can still give an
/// earlier one: each shows a later item, or 5 ms have passed since its stamp. Equal stamps go by
/// source. Thread: the bench thread's only, but the rings' producers.
class Merge {
 public:
  static constexpr std::int64_t never_ns = std::numeric_limits<std::int64_t>::max();

  struct Next {
    std::size_t src = 0;
    const io::StampedRing::Item* item = nullptr;  ///< good until `pop(src)`
  };

  Merge(std::size_t sources, io::Doorbell& bell);

  [[nodiscard]] io::StampedRing& ring(std::size_t src) { return *rings_[src]; }
  [[nodiscard]] std::size_t size() const { return rings_.size(); }

  /// The next item in order, if one may go by now. `now_ns` on the rings' clock.
  [[nodiscard]] std::optional<Next> next(std::int64_t now_ns);
  /// The same without a hold-back: the sources have stopped.
  [[nodiscard]] std::optional<Next> rest() { return next(never_ns); }
  void pop(std::size_t src) { rings_[src]->pop(); }

  /// When an item that is held back may go; `never_ns` if none is. After `next` gave none.
  [[nodiscard]] std::int64_t due_ns();

 private:
  /// The earliest item there is, and whether every other ring shows one too.
  std::optional<Next> earliest(bool& all_show);

  std::vector<std::unique_ptr<io::StampedRing>> rings_;
};

}  // namespace strumwright::engine
