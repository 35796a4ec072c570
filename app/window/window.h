// app/window/window.h
#pragma once

#include <atomic>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "app/engine/bench.h"
#include "app/screens/area.h"
#include "app/screens/source_list.h"
#include "core/result.h"

namespace strumwright::window {

/// How the window opens. Defaults are those of a start without options.
struct WindowOptions {
  screens::Area area = screens::Area::hear;
  int scale_percent = 0;  ///< 80 to 250; 0: as the display asks for
  bool light = false;
  int width = 1280;  ///< in window pixels
  int height = 800;
  bool reduce_motion = false;
  std::optional<double> after_s;     ///< wait so long, then write picture and state and return
  std::filesystem::path screenshot;  ///< PNG; with `after_s` only
  std::filesystem::path state;       ///< JSON; without `after_s` rewritten as it changes
};

/// What the window cannot do itself. Called on the main thread; none may block.
struct WindowActions {
  std::function<void()> release_all;
  std::function<void()> start_simulation;
  std::function<std::filesystem::path()> new_recording;  ///< where the next recording goes
  /// What could be opened, as last seen by whoever watches for it.
  std::function<std::vector<screens::SourceChoice>()> list_sources;
  std::function<void(const std::string& id)> open_source;
};

/// What the user left it at, for the next start.
struct WindowOutcome {
  screens::Area area = screens::Area::hear;
  int scale_percent = 100;
  bool light = false;
};

/// Rings from any thread: wakes the window, or closes it. Made before the bench, so that its `ring`
/// can be `BenchSetup::wake`; does nothing while no window is open.
class WindowBell {
 public:
  /// There is something new.
  void ring();
  /// The window shall close, for instance after a signal.
  void ask_to_close();
  [[nodiscard]] bool asked_to_close() const { return close_asked_.load(); }

  /// The window's own: it stands from here on, or no longer.
  void attach(bool window_stands);

 private:
  std::mutex mutex_;
  bool attached_ = false;
  std::atomic<bool> close_asked_ = false;
};

/// Opens the window on a bench and returns when it is closed (or `after_s` has passed).
/// Errors: no display, no OpenGL 3.3, picture or state not written. Thread: the main one.
Result<WindowOutcome> run_window(const WindowOptions& options, engine::Bench& bench,
                                 const WindowActions& actions, WindowBell& bell);

/// Whether a display answers: without one `run_window` fails, and the terminal is the way.
[[nodiscard]] bool display_answers();

}  // namespace strumwright::window
