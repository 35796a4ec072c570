// app/window/window.cpp
#include "app/window/window.h"

#include <algorithm>
#include <cmath>
#include <future>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <imgui.h>

#include "app/screens/bench_screen.h"
#include "app/screens/far_view.h"
#include "app/screens/focus.h"
#include "app/screens/state_document.h"
#include "app/window/input_queue.h"
#include "app/window/render_thread.h"
#include "app/window/screenshot.h"
#include "app/window/state_file.h"

namespace strumwright::window {

namespace {

constexpr double frame_s = 1.0 / 60.0;
// A wake-up can be lost between two waits of GLFW: look again after this time. Ten looks a second
// cost nothing that can be measured.
constexpr double longest_wait_s = 0.1;
constexpr double state_every_s = 0.1;

Error no_display() {
  return {"no display answers, so the window cannot open", "display",
          "start it in a desktop session, or run `strumwright listen` in the terminal"};
}

/// GLFW for as long as this lives.
class Glfw {
 public:
  Glfw() : up_(glfwInit() == GLFW_TRUE) {}
  ~Glfw() {
    if (up_) glfwTerminate();
  }
  Glfw(const Glfw&) = delete;
  Glfw& operator=(const Glfw&) = delete;
  [[nodiscard]] bool up() const { return up_; }

 private:
  bool up_;
};

GLFWwindow* create_with(int context_api, const WindowOptions& options) {
  glfwDefaultWindowHints();
  glfwWindowHint(GLFW_CONTEXT_CREATION_API, context_api);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  glfwWindowHint(GLFW_DEPTH_BITS, 0);
  glfwWindowHint(GLFW_STENCIL_BITS, 0);
  glfwWindowHintString(GLFW_X11_CLASS_NAME, "strumwright");
  return glfwCreateWindow(options.width, options.height, "Strumwright", nullptr, nullptr);
}

/// The platform's own way to a context, then EGL, which works where the first is missing.
GLFWwindow* create_window(const WindowOptions& options) {
  auto* window = create_with(GLFW_NATIVE_CONTEXT_API, options);
  return window != nullptr ? window : create_with(GLFW_EGL_CONTEXT_API, options);
}

int scale_for(const WindowOptions& options) {
  if (options.scale_percent != 0) return options.scale_percent;
  float x = 1.0F;
  float y = 1.0F;
  if (auto* monitor = glfwGetPrimaryMonitor(); monitor != nullptr) {
    glfwGetMonitorContentScale(monitor, &x, &y);
  }
  return std::clamp(static_cast<int>(std::lround(x * 100.0F)), theme::least_scale_percent,
                    theme::most_scale_percent);
}

/// Glyphs of one scale, with what the render thread needs of them.
struct Glyphs {
  std::unique_ptr<ImFontAtlas> atlas = std::make_unique<ImFontAtlas>();
  theme::Fonts fonts;
  AtlasImage image;

  void build(float scale, theme::FarSizes far_sizes) {
    fonts = theme::Fonts::build(*atlas, scale, far_sizes);
    unsigned char* coverage = nullptr;
    atlas->GetTexDataAsAlpha8(&coverage, &image.width, &image.height);
    image.coverage.assign(coverage, coverage + static_cast<std::size_t>(image.width) *
                                                   static_cast<std::size_t>(image.height));
    atlas->ClearTexData();
  }
};

/// Rasterises on a thread of its own while the display makes window and context: the longest part
/// of a start. No context of Dear ImGui may stand before the result is taken.
std::future<Glyphs> build_glyphs(int scale_percent) {
  return std::async(std::launch::async, [scale_percent] {
    Glyphs glyphs;
    glyphs.build(static_cast<float>(scale_percent) / 100.0F, {});
    return glyphs;
  });
}

/// One open window: builds frames on this thread, has them drawn on another.
class OpenWindow {
 public:
  OpenWindow(GLFWwindow* window, const WindowOptions& options, engine::Bench& bench,
             const WindowActions& actions, const WindowBell& bell, std::future<Glyphs> glyphs);
  ~OpenWindow() { ImGui::DestroyContext(context_); }
  OpenWindow(const OpenWindow&) = delete;
  OpenWindow& operator=(const OpenWindow&) = delete;

  Result<WindowOutcome> run();

 private:
  [[nodiscard]] bool done() const;
  void wait();
  [[nodiscard]] bool frame_due() const;
  void build_frame();
  void prepare_fonts(int width, int height);
  void follow(screens::Intents intents);
  void set_recording();
  [[nodiscard]] float window_pixels_a_unit() const;
  Result<Done> write_state();
  Result<Done> finish();

  GLFWwindow* window_;
  WindowOptions options_;
  engine::Bench* bench_;
  WindowActions actions_;
  const WindowBell* bell_;
  InputQueue queue_;
  RenderThread render_;
  Glyphs glyphs_;
  ImGuiContext* context_;
  theme::Theme theme_;
  theme::FarSizes far_sizes_;
  screens::ViewState view_;
  screens::Drawn drawn_;
  std::vector<screens::SourceChoice> sources_;
  Picture picture_;
  std::string focus_;
  std::uint64_t shown_version_ = 0;
  double built_s_ = -1.0;  // when the last frame was built
  double state_written_s_ = -1.0;
  std::string state_;  // of the last frame
  std::string written_state_;
};

OpenWindow::OpenWindow(GLFWwindow* window, const WindowOptions& options, engine::Bench& bench,
                       const WindowActions& actions, const WindowBell& bell,
                       std::future<Glyphs> glyphs)
    : window_(window),
      options_(options),
      bench_(&bench),
      actions_(actions),
      bell_(&bell),
      queue_(window),
      render_(window),
      glyphs_(glyphs.get()),
      context_(ImGui::CreateContext(glyphs_.atlas.get())) {
  auto& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;
  view_.area = options.area;
  view_.light = options.light;
  theme_.scale = glyphs_.fonts.scale();
  view_.scale_percent = static_cast<int>(std::lround(theme_.scale * 100.0F));
  theme_.fonts = glyphs_.fonts;
  render_.use_atlas(std::move(glyphs_.image));
  theme_.reduce_motion = options.reduce_motion;
}

bool OpenWindow::done() const {
  return glfwWindowShouldClose(window_) == GLFW_TRUE || bell_->asked_to_close() ||
         (options_.after_s && glfwGetTime() >= *options_.after_s);
}

bool OpenWindow::frame_due() const {
  if (!render_.ready()) return false;
  const double since_s = glfwGetTime() - built_s_;
  if (built_s_ < 0.0) return true;
  if (since_s < frame_s) return false;
  return queue_.stirred() || drawn_.moving || bench_->version() != shown_version_ ||
         since_s >= drawn_.again_in_s;
}

void OpenWindow::wait() {
  const double since_s = glfwGetTime() - built_s_;
  const bool wanted = queue_.stirred() || drawn_.moving || bench_->version() != shown_version_;
  double wait_s = wanted ? frame_s - since_s : drawn_.again_in_s - since_s;
  // While a picture is being drawn the swap's own event ends the wait.
  if (!render_.ready()) wait_s = longest_wait_s;
  if (options_.after_s) wait_s = std::min(wait_s, *options_.after_s - glfwGetTime());
  glfwWaitEventsTimeout(std::clamp(wait_s, 0.001, longest_wait_s));
}

void OpenWindow::prepare_fonts(int width, int height) {
  const float scale = static_cast<float>(view_.scale_percent) / 100.0F;
  const auto wanted = view_.far ? screens::far_sizes(width, height, scale) : theme::FarSizes{};
  theme_.palette = view_.light ? &theme::light_palette : &theme::dark_palette;
  if (theme_.scale == scale && far_sizes_ == wanted) return;
  theme_.scale = scale;
  far_sizes_ = wanted;
  glyphs_.build(scale, wanted);
  theme_.fonts = glyphs_.fonts;
  render_.use_atlas(std::move(glyphs_.image));
}

void OpenWindow::build_frame() {
  int width = 0;
  int height = 0;
  glfwGetFramebufferSize(window_, &width, &height);
  if (width == 0 || height == 0) return;  // minimized
  prepare_fonts(width, height);
  auto input = queue_.take(theme_.scale);
  for (const auto& press : input.keys) {
    if (press.code == screens::key::tab) {
      focus_ = screens::next_focus(drawn_.targets, focus_, press.shift);
    }
  }
  if (input.pressed) focus_.clear();
  input.focus = focus_;
  input.window = {0.0F, 0.0F, static_cast<float>(width) / theme_.scale,
                  static_cast<float>(height) / theme_.scale};
  input.enter = screens::presses(input.keys, screens::key::enter) > 0;
  auto& io = ImGui::GetIO();
  io.DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
  io.DeltaTime = static_cast<float>(frame_s);
  shown_version_ = bench_->version();
  built_s_ = glfwGetTime();
  view_.seconds = built_s_;
  drawn_.clear();
  if (view_.sources && actions_.list_sources) sources_ = actions_.list_sources();
  const screens::Snapshot snapshot{bench_->now(),      bench_->history(),
                                   bench_->clock_ns(), bench_->running(),
                                   sources_,           static_cast<bool>(actions_.release_all)};
  ImGui::NewFrame();
  screens::Canvas canvas(*ImGui::GetBackgroundDrawList(), theme_, input, drawn_);
  auto intents = screens::draw_bench(canvas, snapshot, view_);
  ImGui::Render();
  picture_.copy_from(*ImGui::GetDrawData());
  picture_.ground = theme_.palette->bench;
  if (!options_.state.empty()) {
    state_ = screens::state_document(snapshot, view_, drawn_,
                                     {window_pixels_a_unit(), render_.first_shown_ns()});
  }
  follow(std::move(intents));
}

void OpenWindow::set_recording() {
  if (bench_->now().recording) {
    bench_->stop_recording();
  } else if (actions_.new_recording) {
    bench_->start_recording(actions_.new_recording());
  }
}

void OpenWindow::follow(screens::Intents intents) {
  if (intents.keep) bench_->keep("kept in the window");
  if (intents.toggle_recording) set_recording();
  if (intents.mark) bench_->mark("mark");
  if (intents.release_all && actions_.release_all) actions_.release_all();
  if (intents.start_simulation && actions_.start_simulation) actions_.start_simulation();
  if (intents.open_source && actions_.open_source) actions_.open_source(*intents.open_source);
  if (intents.copy) glfwSetClipboardString(window_, intents.copy->c_str());
}

float OpenWindow::window_pixels_a_unit() const {
  int width = 1;
  int window_width = 1;
  int height = 0;
  glfwGetFramebufferSize(window_, &width, &height);
  glfwGetWindowSize(window_, &window_width, &height);
  return theme_.scale * static_cast<float>(window_width) / static_cast<float>(std::max(1, width));
}

Result<Done> OpenWindow::write_state() {
  state_written_s_ = glfwGetTime();
  written_state_ = state_;
  return replace_file(options_.state, written_state_);
}

Result<Done> OpenWindow::finish() {
  if (!options_.after_s) return Done{};
  build_frame();
  auto pixels = render_.capture(picture_);
  if (!options_.screenshot.empty()) {
    auto written = write_png(pixels, options_.screenshot);
    if (!written) return written;
  }
  return options_.state.empty() ? Result<Done>(Done{}) : write_state();
}

Result<WindowOutcome> OpenWindow::run() {
  bool up = false;
  while (!done()) {
    if (frame_due()) {
      build_frame();
      if (!up) {
        // Only now: the glyphs were rasterised while the other thread made its context.
        const auto context = render_.wait_until_up();
        if (!context) return context.error();
        up = true;
      }
      render_.show(picture_);
    }
    if (!options_.state.empty() && !options_.after_s && state_ != written_state_ &&
        glfwGetTime() - state_written_s_ >= state_every_s) {
      const auto written = write_state();
      if (!written) return written.error();
    }
    wait();
  }
  const auto context = render_.wait_until_up();
  if (!context) return context.error();
  const auto finished = finish();
  if (!finished) return finished.error();
  return WindowOutcome{view_.area, view_.scale_percent, view_.light};
}

}  // namespace

bool display_answers() {
  const Glfw glfw;
  return glfw.up();
}

void WindowBell::ring() {
  const std::lock_guard lock(mutex_);
  if (attached_) glfwPostEmptyEvent();
}

void WindowBell::ask_to_close() {
  close_asked_.store(true);
  ring();
}

void WindowBell::attach(bool window_stands) {
  const std::lock_guard lock(mutex_);
  attached_ = window_stands;
}

Result<WindowOutcome> run_window(const WindowOptions& options, engine::Bench& bench,
                                 const WindowActions& actions, WindowBell& bell) {
  const Glfw glfw;
  if (!glfw.up()) return no_display();
  auto glyphs = build_glyphs(scale_for(options));
  auto* window = create_window(options);
  if (window == nullptr) {
    return Error{"the display offers no OpenGL 3.3, so the window cannot open", "display",
                 "update the graphics driver, or run `strumwright listen` in the terminal"};
  }
  glfwSetWindowSizeLimits(window, 400, 300, GLFW_DONT_CARE, GLFW_DONT_CARE);
  bell.attach(true);
  auto outcome = [&] {
    OpenWindow open(window, options, bench, actions, bell, std::move(glyphs));
    return open.run();
  }();
  bell.attach(false);
  glfwDestroyWindow(window);
  return outcome;
}

}  // namespace strumwright::window
