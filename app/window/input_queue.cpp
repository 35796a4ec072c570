// app/window/input_queue.cpp
#include "app/window/input_queue.h"

#include <utility>

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

namespace strumwright::window {

namespace {

struct NamedKey {
  int glfw;
  int ours;
};

constexpr NamedKey named_keys[] = {
    {GLFW_KEY_LEFT, screens::key::left},       {GLFW_KEY_RIGHT, screens::key::right},
    {GLFW_KEY_UP, screens::key::up},           {GLFW_KEY_DOWN, screens::key::down},
    {GLFW_KEY_ENTER, screens::key::enter},     {GLFW_KEY_KP_ENTER, screens::key::enter},
    {GLFW_KEY_ESCAPE, screens::key::escape},   {GLFW_KEY_SPACE, screens::key::space},
    {GLFW_KEY_HOME, screens::key::home},       {GLFW_KEY_END, screens::key::end},
    {GLFW_KEY_PAGE_UP, screens::key::page_up}, {GLFW_KEY_PAGE_DOWN, screens::key::page_down},
    {GLFW_KEY_TAB, screens::key::tab},         {GLFW_KEY_F1, screens::key::f1},
    {GLFW_KEY_F5, screens::key::f5},           {GLFW_KEY_KP_ADD, screens::key::plus},
    {GLFW_KEY_EQUAL, screens::key::plus},      {GLFW_KEY_KP_SUBTRACT, screens::key::minus},
    {GLFW_KEY_MINUS, screens::key::minus},
};

/// Our code of a key; 0 if screens have no use for it.
int code_of(int glfw, int scancode) {
  // Digits by their place: on some layouts they need Shift.
  if (glfw >= GLFW_KEY_0 && glfw <= GLFW_KEY_9) return '0' + glfw - GLFW_KEY_0;
  if (glfw >= GLFW_KEY_KP_0 && glfw <= GLFW_KEY_KP_9) return '0' + glfw - GLFW_KEY_KP_0;
  if (const char* name = glfwGetKeyName(glfw, scancode); name != nullptr && name[1] == '\0') {
    if (name[0] >= 'a' && name[0] <= 'z') return name[0] - 'a' + 'A';
    if (name[0] == '+') return screens::key::plus;
    if (name[0] == '-') return screens::key::minus;
  }
  for (const auto& named : named_keys) {
    if (named.glfw == glfw) return named.ours;
  }
  return glfw >= GLFW_KEY_A && glfw <= GLFW_KEY_Z ? glfw : 0;
}

}  // namespace

InputQueue::InputQueue(GLFWwindow* window) : window_(window) {
  glfwSetWindowUserPointer(window, this);
  glfwSetKeyCallback(window, on_key);
  glfwSetCursorPosCallback(window, on_cursor);
  glfwSetMouseButtonCallback(window, on_button);
  glfwSetScrollCallback(window, on_scroll);
  glfwSetCursorEnterCallback(window, on_enter);
  glfwSetFramebufferSizeCallback(window, on_resize);
  glfwSetWindowRefreshCallback(window, on_refresh);
}

InputQueue& InputQueue::of(GLFWwindow* window) {
  auto& queue = *static_cast<InputQueue*>(glfwGetWindowUserPointer(window));
  queue.stirred_ = true;
  return queue;
}

screens::Input InputQueue::take(float scale) {
  // Where a display counts windows in points, the framebuffer has more pixels than the window.
  int window_width = 1;
  int window_height = 1;
  int width = 1;
  int height = 1;
  glfwGetWindowSize(window_, &window_width, &window_height);
  glfwGetFramebufferSize(window_, &width, &height);
  const double ratio = window_width > 0 ? static_cast<double>(width) / window_width : 1.0;
  screens::Input input;
  input.pointer = {static_cast<float>(x_ * ratio / scale), static_cast<float>(y_ * ratio / scale)};
  input.pressed = std::exchange(pressed_, false);
  input.released = std::exchange(released_, false);
  input.down = down_;
  input.wheel = std::exchange(wheel_, 0.0F);
  input.keys = std::exchange(keys_, {});
  stirred_ = false;
  return input;
}

void InputQueue::on_key(GLFWwindow* window, int code, int scancode, int action, int modifiers) {
  if (action == GLFW_RELEASE) return;
  const int ours = code_of(code, scancode);
  if (ours == 0) return;
  of(window).keys_.push_back(
      {ours, (modifiers & GLFW_MOD_CONTROL) != 0, (modifiers & GLFW_MOD_SHIFT) != 0});
}

void InputQueue::on_cursor(GLFWwindow* window, double x, double y) {
  auto& queue = of(window);
  queue.x_ = x;
  queue.y_ = y;
}

void InputQueue::on_button(GLFWwindow* window, int button, int action, int /*modifiers*/) {
  if (button != GLFW_MOUSE_BUTTON_LEFT) return;
  auto& queue = of(window);
  queue.down_ = action == GLFW_PRESS;
  (queue.down_ ? queue.pressed_ : queue.released_) = true;
}

void InputQueue::on_scroll(GLFWwindow* window, double /*dx*/, double dy) {
  of(window).wheel_ += static_cast<float>(dy);
}

void InputQueue::on_enter(GLFWwindow* window, int entered) {
  if (entered != 0) return;
  auto& queue = of(window);
  queue.x_ = -1.0;
  queue.y_ = -1.0;
}

void InputQueue::on_resize(GLFWwindow* window, int /*width*/, int /*height*/) { of(window); }

void InputQueue::on_refresh(GLFWwindow* window) { of(window); }

}  // namespace strumwright::window
