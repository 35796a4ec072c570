// app/engine/merge.cpp
#include "app/engine/merge.h"

namespace strumwright::engine {

Merge::Merge(std::size_t sources, io::Doorbell& bell) {
  for (std::size_t src = 0; src < sources; ++src) {
    rings_.push_back(std::make_unique<io::StampedRing>(bell));
  }
}

std::optional<Merge::Next> Merge::earliest(bool& all_show) {
  std::optional<Next> found;
  all_show = true;
  for (std::size_t src = 0; src < rings_.size(); ++src) {
    const auto* item = rings_[src]->front();
    if (item == nullptr) {
      all_show = false;
    } else if (!found || item->t_ns < found->item->t_ns) {
      found = Next{src, item};
    }
  }
  return found;
}

std::optional<Merge::Next> Merge::next(std::int64_t now_ns) {
  bool all_show = false;
  auto found = earliest(all_show);
  if (!found || all_show || now_ns - hold_back_ns >= found->item->t_ns) return found;
  return std::nullopt;
}

std::int64_t Merge::due_ns() {
  bool all_show = false;
  const auto found = earliest(all_show);
  return found ? found->item->t_ns + hold_back_ns : never_ns;
}

}  // namespace strumwright::engine
