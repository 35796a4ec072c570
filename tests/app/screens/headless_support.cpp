// tests/app/screens/headless_support.cpp
#include "tests/app/screens/headless_support.h"

namespace strumwright::screens {

Headless::Headless(float width_px, float height_px, float scale, bool light)
    : context_(ImGui::CreateContext()) {
  auto& io = ImGui::GetIO();
  io.IniFilename = nullptr;
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

}  // namespace strumwright::screens
