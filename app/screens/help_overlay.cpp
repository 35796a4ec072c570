// app/screens/help_overlay.cpp
#include "app/screens/help_overlay.h"

#include <algorithm>

#include "app/screens/parts/panel.h"

namespace strumwright::screens {

namespace {

struct KeyText {
  const char* keys;
  const char* does;
};

constexpr KeyText key_texts[] = {
    {"1 to 9", "areas"},
    {"K", "keep the last 15 minutes"},
    {"R", "record, stop recording"},
    {"M", "set a mark at this moment"},
    {"S", "sources: what could be connected"},
    {"Esc", "close a card, release notes"},
    {"F", "far view, to read at 3 m"},
    {"Left  Right", "step through strums, findings of a kind"},
    {"Up  Down", "in Notes: step through findings"},
    {"W  C  E", "its bytes, copy an excerpt, explain"},
    {"Enter", "lay a strum under the next; choose"},
    {"End  F5", "follow again after a pin or a step"},
    {"PgUp  PgDn", "panels of a small window"},
    {"Tab", "go to the next button"},
    {"Ctrl +  −  0", "larger, smaller, 100 %"},
    {"L", "light or dark"},
    {"F1", "these keys"},
};

}  // namespace

bool draw_help(Canvas& canvas, const Box& window) {
  const auto& palette = canvas.palette();
  const auto count = std::size(key_texts);
  const bool two_columns = window.h < 400.0F;
  const std::size_t rows = two_columns ? (count + 1) / 2 : count;
  const float width = std::min(window.w - 32.0F, two_columns ? 600.0F : 440.0F);
  const float row = std::min(24.0F, (window.h - 32.0F - 56.0F) / static_cast<float>(rows));
  const float height = 56.0F + row * static_cast<float>(rows);
  const Box card{window.centre().x - width / 2.0F, window.centre().y - height / 2.0F, width,
                 height};
  canvas.fill(window, theme::faded(palette.bench, 0.72));
  canvas.outline(card.inset(-1.0F), palette.edge, 1.0F, theme::radius);
  draw_panel(canvas, card, {"Keys", {}, "F1 or Esc closes"});
  const float column = two_columns ? width / 2.0F : width;
  const float keys_width = two_columns ? 82.0F : 120.0F;
  for (std::size_t i = 0; i < count; ++i) {
    const float x = card.x + theme::padding + (i >= rows ? column : 0.0F);
    const float y = card.y + 52.0F + row * static_cast<float>(i % rows);
    canvas.text({x, y}, key_texts[i].keys, with_colour(second(canvas), palette.brass));
    const float room = column - keys_width - 2.0F * theme::padding;
    const auto does = canvas.shortened(key_texts[i].does, second(canvas), room);
    canvas.text({x + keys_width, y}, does, second(canvas));
  }
  return canvas.target("help", card);
}

}  // namespace strumwright::screens
