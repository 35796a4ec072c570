// tests/app/screens/headless_support.cpp
#include "tests/app/screens/headless_support.h"

#include <algorithm>

namespace strumwright::screens {

Headless::Headless(float width_px, float height_px, float scale, bool light)
    : context_(ImGui::CreateContext()) {
  auto& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;  // as the window's renderer has
  io.DisplaySize = {width_px, height_px};
  io.DeltaTime = 1.0F / 60.0F;
  theme.scale = scale;
  theme.palette = light ? &theme::light_palette : &theme::dark_palette;
  theme.fonts = theme::Fonts::build(*io.Fonts, scale);
  input.window = window();
}

Headless::~Headless() { ImGui::DestroyContext(context_); }

Box Headless::window() const {
  const auto size = ImGui::GetIO().DisplaySize;
  return {0.0F, 0.0F, size.x / theme.scale, size.y / theme.scale};
}

std::vector<std::string> overlapping_texts(const Drawn& drawn) {
  std::vector<std::string> pairs;
  for (std::size_t i = 0; i < drawn.texts.size(); ++i) {
    for (std::size_t k = i + 1; k < drawn.texts.size(); ++k) {
      if (!drawn.texts[i].box.meets(drawn.texts[k].box, 1.0F)) continue;
      pairs.push_back("'" + drawn.texts[i].text + "' lies on '" + drawn.texts[k].text + "'");
    }
  }
  return pairs;
}

std::string layout_faults(const Drawn& drawn, const Box& window) {
  std::string faults;
  for (const auto& pair : overlapping_texts(drawn)) faults += pair + "\n";
  for (const auto& flaw : drawn.flaws) faults += "'" + flaw + "' leaves its box\n";
  for (std::size_t i = 0; i < drawn.targets.size(); ++i) {
    const auto& target = drawn.targets[i];
    if (!window.holds(target.box, 0.5F)) faults += target.id + " leaves the window\n";
    if (target.box.w <= 0.0F || target.box.h <= 0.0F) faults += target.id + " is empty\n";
    for (std::size_t k = i + 1; k < drawn.targets.size(); ++k) {
      const auto& other = drawn.targets[k];
      if (target.id == other.id) faults += target.id + " is there twice\n";
      if (target.box.meets(other.box, 0.5F)) faults += target.id + " lies on " + other.id + "\n";
    }
  }
  return faults;
}

const Target* find_target(const Drawn& drawn, std::string_view id) {
  const auto found = std::find_if(drawn.targets.begin(), drawn.targets.end(),
                                  [&](const Target& target) { return target.id == id; });
  return found == drawn.targets.end() ? nullptr : &*found;
}

bool has_text(const Drawn& drawn, std::string_view part) {
  return std::any_of(drawn.texts.begin(), drawn.texts.end(), [&](const PlacedText& placed) {
    return placed.text.find(part) != std::string::npos;
  });
}

}  // namespace strumwright::screens
