// app/window/render_thread.h
#pragma once

#include <condition_variable>
#include <cstdint>
#include <mutex>
#include <optional>
#include <thread>

#include "app/window/picture.h"
#include "core/result.h"

struct GLFWwindow;

namespace strumwright::window {

/// Owns the window's GL context: draws the newest picture and swaps, so that a display that waits
/// holds up nobody else.
///
/// The main thread never swaps. It hands over a picture (the newest wins) and may hand over the
/// next when `ready()`; after each swap an empty window event wakes it. Threads: all functions the
/// main thread's only.
class RenderThread {
 public:
  explicit RenderThread(GLFWwindow* window);
  ~RenderThread();
  RenderThread(const RenderThread&) = delete;
  RenderThread& operator=(const RenderThread&) = delete;

  /// Waits until the context stands, or says why it does not.
  Result<Done> wait_until_up();
  /// Takes the glyphs that the pictures from now on use.
  void use_atlas(AtlasImage atlas);
  /// Hands over a picture; leaves in `picture` an old one, whose memory may be used again.
  void show(Picture& picture);
  /// Whether the last picture was taken and swapped.
  [[nodiscard]] bool ready() const;
  /// When the first picture was shown, by the monotonic clock; 0 before that.
  [[nodiscard]] std::int64_t first_shown_ns() const;
  /// Shows a picture and waits for its pixels.
  Pixels capture(Picture& picture);

 private:
  void run();
  void serve();

  GLFWwindow* window_;
  mutable std::mutex mutex_;
  std::condition_variable to_render_;
  std::condition_variable to_main_;
  bool stop_ = false;
  bool busy_ = false;
  bool fresh_ = false;
  std::int64_t first_shown_ns_ = 0;
  Picture waiting_;
  std::optional<AtlasImage> atlas_;
  std::optional<Pixels> pixels_;
  std::optional<Result<Done>> up_;
  std::thread thread_;
};

}  // namespace strumwright::window
