// core/session/spool_state.cpp
#include "core/session/spool_state.h"

namespace strumwright::session {

SpoolState::SpoolState(std::size_t source_count, Settings settings)
    : settings_(settings), gone_(source_count), tails_(source_count) {}

SpoolState::SpoolState(std::size_t source_count, const Carried& carried)
    : SpoolState(source_count, carried.settings) {
  for (const auto src : carried.gone) gone_[src] = true;
  for (std::size_t src = 0; src < carried.open.size(); ++src) {
    tails_[src] = StreamTail(carried.open[src]);
  }
}

void SpoolState::push(const Entry& entry) {
  switch (entry.kind) {
    case Entry::Kind::chunk:
      if (!entry.out) tails_[entry.src].push(entry.bytes);
      break;
    case Entry::Kind::lost:
      tails_[entry.src].clear();
      break;
    case Entry::Kind::gone:
      gone_[entry.src] = true;
      tails_[entry.src].clear();
      break;
    case Entry::Kind::back:
      gone_[entry.src] = false;
      break;
    case Entry::Kind::settings:
      settings_ = entry.settings;
      break;
    case Entry::Kind::mark:
    case Entry::Kind::end:
      break;
  }
}

Carried SpoolState::carried() const {
  Carried carried;
  carried.settings = settings_;
  for (std::size_t src = 0; src < gone_.size(); ++src) {
    if (gone_[src]) carried.gone.push_back(static_cast<std::uint16_t>(src));
    carried.open.push_back(tails_[src].bytes());
  }
  return carried;
}

}  // namespace strumwright::session
