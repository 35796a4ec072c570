// app/window/render_thread.cpp
#include "app/window/render_thread.h"

#include <utility>

#include <GLFW/glfw3.h>

#include "app/io/clock.h"
#include "app/window/gl_painter.h"

namespace strumwright::window {

RenderThread::RenderThread(GLFWwindow* window) : window_(window), thread_([this] { run(); }) {}

RenderThread::~RenderThread() {
  {
    const std::lock_guard lock(mutex_);
    stop_ = true;
  }
  to_render_.notify_one();
  thread_.join();
}

Result<Done> RenderThread::wait_until_up() {
  std::unique_lock lock(mutex_);
  to_main_.wait(lock, [this] { return up_.has_value(); });
  return *up_;
}

void RenderThread::use_atlas(AtlasImage atlas) {
  const std::lock_guard lock(mutex_);
  atlas_ = std::move(atlas);
}

void RenderThread::show(Picture& picture) {
  {
    const std::lock_guard lock(mutex_);
    std::swap(waiting_, picture);
    fresh_ = true;
  }
  to_render_.notify_one();
}

bool RenderThread::ready() const {
  const std::lock_guard lock(mutex_);
  return !busy_ && !fresh_;
}

std::int64_t RenderThread::first_shown_ns() const {
  const std::lock_guard lock(mutex_);
  return first_shown_ns_;
}

Pixels RenderThread::capture(Picture& picture) {
  picture.capture = true;
  show(picture);
  picture.capture = false;
  std::unique_lock lock(mutex_);
  to_main_.wait(lock, [this] { return pixels_.has_value(); });
  return *std::exchange(pixels_, std::nullopt);
}

void RenderThread::run() {
  glfwMakeContextCurrent(window_);
  serve();
  glfwMakeContextCurrent(nullptr);
}

void RenderThread::serve() {
  auto painter = GlPainter::make();
  {
    const std::lock_guard lock(mutex_);
    up_ = painter ? Result<Done>(Done{}) : Result<Done>(painter.error());
  }
  to_main_.notify_one();
  if (!painter) return;
  glfwSwapInterval(1);
  Picture picture;
  std::unique_lock lock(mutex_);
  while (true) {
    to_render_.wait(lock, [this] { return stop_ || fresh_; });
    if (stop_) return;
    std::swap(picture, waiting_);
    const auto atlas = std::exchange(atlas_, std::nullopt);
    fresh_ = false;
    busy_ = true;
    lock.unlock();
    if (atlas) painter->use_atlas(*atlas);
    painter->draw(picture);
    std::optional<Pixels> pixels;
    if (picture.capture) pixels = GlPainter::read_back(picture.width, picture.height);
    glfwSwapBuffers(window_);
    lock.lock();
    busy_ = false;
    if (first_shown_ns_ == 0) first_shown_ns_ = io::now_ns();
    if (pixels) pixels_ = std::move(pixels);
    to_main_.notify_one();
    glfwPostEmptyEvent();
  }
}

}  // namespace strumwright::window
