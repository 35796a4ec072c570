// tests/app/screens/headless_support.h
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <imgui.h>

#include "app/screens/parts/canvas.h"
#include "app/theme/theme.h"

namespace strumwright::screens {

/// A frame without a window: a context of Dear ImGui with fonts, no backend.
class Headless {
 public:
  Headless(float width_px, float height_px, float scale, bool light = false);
  ~Headless();
  Headless(const Headless&) = delete;
  Headless& operator=(const Headless&) = delete;

  /// Draws one frame by `draw(canvas)` and returns what came of it.
  template <class Draw>
  Drawn& frame(Draw&& draw) {
    drawn.clear();
    drawn.keep_texts = true;
    ImGui::NewFrame();
    Canvas canvas(*ImGui::GetBackgroundDrawList(), theme, input, drawn);
    draw(canvas);
    ImGui::Render();
    return drawn;
  }

  /// The window's box in units.
  [[nodiscard]] Box window() const;

  theme::Theme theme;
  Input input;
  Drawn drawn;

 private:
  ImGuiContext* context_;
};

/// Pairs of texts that lie on each other: a fault of layout.
[[nodiscard]] std::vector<std::string> overlapping_texts(const Drawn& drawn);

/// Everything that is wrong with a frame's layout, a line each: texts cut or on each other, targets
/// that overlap, leave the window or are there twice.
[[nodiscard]] std::string layout_faults(const Drawn& drawn, const Box& window);

/// Null if there is none.
[[nodiscard]] const Target* find_target(const Drawn& drawn, std::string_view id);
/// Whether some text holds `part`.
[[nodiscard]] bool has_text(const Drawn& drawn, std::string_view part);

}  // namespace strumwright::screens
