// app/window/input_queue.h
#pragma once

#include <string>
#include <vector>

#include "app/screens/parts/canvas.h"

struct GLFWwindow;

namespace strumwright::window {

/// Collects keys and pointer from the window's callbacks until the next frame.
///
/// A press and its release inside one frame are both kept, which a state that is polled once a
/// frame would lose. Stays at its address while the window lives. Thread: the main one.
class InputQueue {
 public:
  explicit InputQueue(GLFWwindow* window);
  InputQueue(const InputQueue&) = delete;
  InputQueue& operator=(const InputQueue&) = delete;

  /// What came since the last call; `scale` pixels a unit.
  [[nodiscard]] screens::Input take(float scale);
  /// Whether anything came since the last `take`, the window's size or exposure included.
  [[nodiscard]] bool stirred() const { return stirred_; }

 private:
  static void on_key(GLFWwindow* window, int code, int scancode, int action, int modifiers);
  static void on_cursor(GLFWwindow* window, double x, double y);
  static void on_button(GLFWwindow* window, int button, int action, int modifiers);
  static void on_scroll(GLFWwindow* window, double dx, double dy);
  static void on_enter(GLFWwindow* window, int entered);
  static void on_resize(GLFWwindow* window, int width, int height);
  static void on_refresh(GLFWwindow* window);
  static InputQueue& of(GLFWwindow* window);

  GLFWwindow* window_;
  bool stirred_ = true;  // the first frame
  double x_ = -1.0;
  double y_ = -1.0;
  bool pressed_ = false;
  bool down_ = false;
  bool released_ = false;
  float wheel_ = 0.0F;
  std::vector<screens::KeyPress> keys_;
};

}  // namespace strumwright::window
