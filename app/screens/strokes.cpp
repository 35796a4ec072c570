// app/screens/strokes.cpp
#include "app/screens/strokes.h"

#include <algorithm>

#include "app/engine/history.h"
#include "core/strum/stroke.h"

namespace strumwright::screens {

bool is_strum(const engine::StrokeNow& stroke) {
  const auto* teeth = stroke.teeth.data();
  return std::count_if(teeth, teeth + stroke.tooth_count, [](const engine::ToothNow& tooth) {
           return static_cast<strum::Role>(tooth.role) != strum::Role::doubled;
         }) >= 3;
}

std::vector<engine::StrokeNow> last_strums(const Snapshot& snapshot, const Moment& moment,
                                           std::size_t most) {
  std::vector<engine::StrokeNow> found;
  const auto view = snapshot.history.strokes.view();
  const auto in_time = [&](const engine::StrokeNow& stroke) {
    return !moment.pinned() || stroke.start_ns <= *moment.pinned_ns;
  };
  const auto& running = snapshot.now.stroke;
  const bool is_new = view.empty() || running.serial > view[view.end() - 1].serial;
  if (running.serial != 0 && is_new && is_strum(running) && in_time(running)) {
    found.push_back(running);
  }
  for (auto i = view.end(); i > view.first() && found.size() < most; --i) {
    const auto& stroke = view[i - 1];
    if (is_strum(stroke) && in_time(stroke)) found.push_back(stroke);
  }
  std::reverse(found.begin(), found.end());
  return found;
}

const char* direction_text(const engine::StrokeNow& stroke) {
  return strum::to_text(static_cast<strum::Direction>(stroke.direction));
}

}  // namespace strumwright::screens
