// tests/speed/window_speed.cpp
// The window from outside: start to first frame beside a bare window of Dear ImGui in the same run,
// and the time that an idle window takes. Starts a display of its own where there is none.
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define GLFW_INCLUDE_NONE
#include "tests/speed/ratio_table.h"
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_opengl3_loader.h>

namespace {

namespace fs = std::filesystem;
using strumwright::speed::median;

constexpr int rounds = 15;

double now_s() {
  timespec time{};
  clock_gettime(CLOCK_MONOTONIC, &time);
  return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_nsec) / 1e9;
}

/// What the bare window shows: 200 numbers and 2,000 line segments, as much as a screen of ours.
void draw_bare_contents() {
  ImGui::SetNextWindowPos({0.0F, 0.0F});
  ImGui::SetNextWindowSize({1280.0F, 800.0F});
  ImGui::Begin("bare");
  if (ImGui::BeginTable("numbers", 10)) {
    for (int i = 0; i < 200; ++i) {
      ImGui::TableNextColumn();
      ImGui::Text("%d", i * 7919);
    }
    ImGui::EndTable();
  }
  auto* list = ImGui::GetWindowDrawList();
  for (int i = 0; i < 2000; ++i) {
    const auto x = static_cast<float>(i) * 0.6F;
    const auto y = static_cast<float>(i * 37 % 300);
    list->AddLine({x, 450.0F + y}, {x + 0.6F, 450.0F + static_cast<float>(i * 53 % 300)},
                  IM_COL32_WHITE, 1.5F);
  }
  ImGui::End();
}

/// The floor: a window with Dear ImGui's own font, one finished frame; `empty`: with nothing in it.
/// Tells when it was shown in the file `told`.
int run_bare_window(const char* told, bool empty) {
  if (glfwInit() == 0) return 1;
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  auto* window = glfwCreateWindow(1280, 800, "bare", nullptr, nullptr);
  if (window == nullptr) return 1;
  glfwMakeContextCurrent(window);
  ImGui::CreateContext();
  ImGui::GetIO().IniFilename = nullptr;
  ImGui_ImplGlfw_InitForOpenGL(window, true);
  ImGui_ImplOpenGL3_Init("#version 330 core");
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  ImGui::NewFrame();
  if (!empty) draw_bare_contents();
  ImGui::Render();
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  unsigned char pixel[4];
  glReadPixels(0, 0, 1, 1, GL_RGBA, GL_UNSIGNED_BYTE, pixel);  // waits until it is drawn
  glfwSwapBuffers(window);
  std::ofstream(told) << "\"first_frame_ns\":" << static_cast<std::int64_t>(now_s() * 1e9);
  glfwDestroyWindow(window);
  glfwTerminate();
  return 0;
}

struct Ran {
  bool fine = false;
  double start_s = 0.0;
  double cpu_s = 0.0;
};

Ran run(const std::vector<std::string>& words) {
  std::vector<char*> arguments;
  for (const auto& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  const double start_s = now_s();
  const pid_t child = fork();
  if (child == 0) {
    execv(arguments[0], arguments.data());
    _exit(127);
  }
  int status = 0;
  rusage used{};
  wait4(child, &status, 0, &used);
  const auto seconds = [](const timeval& time) {
    return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6;
  };
  return {WIFEXITED(status) && WEXITSTATUS(status) == 0, start_s,
          seconds(used.ru_utime) + seconds(used.ru_stime)};
}

/// A display of our own; ended with this.
class Display {
 public:
  Display() {
    if (std::getenv("DISPLAY") != nullptr) return;
    int ends[2];
    if (pipe(ends) != 0) return;
    server_ = fork();
    if (server_ == 0) {
      const auto number_to = std::to_string(ends[1]);
      execlp("Xvfb", "Xvfb", "-displayfd", number_to.c_str(), "-screen", "0", "1280x800x24",
             "-nolisten", "tcp", nullptr);
      _exit(127);
    }
    close(ends[1]);
    char number[16] = {};
    const auto count = read(ends[0], number, sizeof number - 1);
    close(ends[0]);
    if (count > 1) setenv("DISPLAY", (":" + std::string(number, number + count - 1)).c_str(), 1);
  }
  ~Display() {
    if (server_ <= 0) return;
    kill(server_, SIGTERM);
    waitpid(server_, nullptr, 0);
  }
  Display(const Display&) = delete;
  Display& operator=(const Display&) = delete;
  [[nodiscard]] static bool stands() { return std::getenv("DISPLAY") != nullptr; }

 private:
  pid_t server_ = -1;
};

/// Seconds from the start of the program to its first frame, as it told it in `told`; below 0:
/// none.
double first_frame_s(const Ran& ran, const fs::path& told) {
  std::ifstream file(told);
  const std::string text(std::istreambuf_iterator<char>(file), {});
  const std::string name = "\"first_frame_ns\":";
  const auto at = text.find(name);
  if (!ran.fine || at == std::string::npos) return -1.0;
  const double shown_s = std::strtod(text.c_str() + at + name.size(), nullptr) / 1e9;
  return shown_s - ran.start_s;
}

bool measure_start(const std::string& self, const std::string& program, const fs::path& folder) {
  std::vector<double> empty;
  std::vector<double> bare;
  std::vector<double> ours;
  const auto told = folder / "state.json";
  for (int i = 0; i < rounds; ++i) {
    empty.push_back(first_frame_s(run({self, "empty", told.string()}), told));
    bare.push_back(first_frame_s(run({self, "bare", told.string()}), told));
    ours.push_back(first_frame_s(run({program, "--safe", "--simulate", "--size", "1280x800",
                                      "--after", "1", "--state", told.string()}),
                                 told));
    if (empty.back() <= 0.0 || bare.back() <= 0.0 || ours.back() <= 0.0) return false;
  }
  std::printf("start to first frame, ms (medians of %d): empty %.0f, bare %.0f, strumwright %.0f\n",
              rounds, median(empty) * 1e3, median(bare) * 1e3, median(ours) * 1e3);
  strumwright::speed::print_at_most("start to first frame over a bare window", median(ours),
                                    median(bare), 1.4);
  return true;
}

/// A recording that is open and done: nothing arrives, nothing sounds.
bool measure_idle(const std::string& program, const fs::path& folder) {
  const auto recording = folder / "idle.hex";
  std::ofstream(recording) << "90 3c 40 3c 00\n";
  const auto seconds_of = [&](const char* after) {
    return run({program, "--safe", "--open", recording.string(), "--after", after});
  };
  const auto brief = seconds_of("2");
  const auto longer = seconds_of("12");
  if (!brief.fine || !longer.fine) return false;
  const double percent = (longer.cpu_s - brief.cpu_s) / 10.0 * 100.0;
  std::printf("%-52s %6.2f  target <= %.2f  %s\n", "idle window, % of a core", percent, 1.0,
              percent <= 1.0 ? "met" : "MISSED");
  return true;
}

}  // namespace

int main(int count, char** words) {
  if (count > 2 && std::string(words[1]) == "bare") return run_bare_window(words[2], false);
  if (count > 2 && std::string(words[1]) == "empty") return run_bare_window(words[2], true);
  const Display display;
  if (!Display::stands()) {
    std::puts("no display and no Xvfb: not measured");
    return 0;
  }
  const auto self = fs::absolute(words[0]);
  const auto program = self.parent_path().parent_path().parent_path() / "app" / "strumwright";
  const auto folder =
      fs::temp_directory_path() / ("strumwright-window-" + std::to_string(getpid()));
  fs::create_directories(folder);
  setenv("XDG_DATA_HOME", folder.c_str(), 1);
  const bool fine = measure_start(self.string(), program.string(), folder) &&
                    measure_idle(program.string(), folder);
  fs::remove_all(folder);
  if (!fine) std::puts("a program did not start: not measured");
  return fine ? 0 : 1;
}
