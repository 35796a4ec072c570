// app/screens/snapshot.cpp
#include "app/screens/snapshot.h"

#include <utility>

namespace strumwright::screens {

namespace {

template <class T>
void take(std::optional<T>& mine, std::optional<T>& other) {
  if (other) mine = std::move(other);
}

}  // namespace

void Intents::add(Intents other) {
  keep |= other.keep;
  toggle_recording |= other.toggle_recording;
  mark |= other.mark;
  release_all |= other.release_all;
  start_simulation |= other.start_simulation;
  choose_source |= other.choose_source;
  follow |= other.follow;
  take(open_source, other.open_source);
  take(pin_ns, other.pin_ns);
  take(open_finding, other.open_finding);
  take(go, other.go);
  take(copy, other.copy);
}

}  // namespace strumwright::screens
