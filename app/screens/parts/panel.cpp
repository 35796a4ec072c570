// app/screens/parts/panel.cpp
#include "app/screens/parts/panel.h"

#include <algorithm>
#include <string>

namespace strumwright::screens {

using theme::Face;

Style label(const Canvas& c) { return {theme::label_size, Face::regular, c.palette().ink3}; }
Style second(const Canvas& c) { return {theme::label_size, Face::regular, c.palette().ink2}; }
Style plain(const Canvas& c) { return {theme::text_size, Face::regular, c.palette().ink}; }
Style strong(const Canvas& c) { return {theme::text_size, Face::bold, c.palette().ink}; }
Style lead(const Canvas& c) { return {theme::lead_size, Face::regular, c.palette().ink}; }
Style strong_lead(const Canvas& c) { return {theme::lead_size, Face::bold, c.palette().ink}; }
Style figure(const Canvas& c) { return {theme::figure_size, Face::bold, c.palette().ink}; }
Style title(const Canvas& c) { return {theme::text_size, Face::bold, c.palette().ink2}; }

Style with_colour(Style style, theme::Colour colour) {
  style.colour = colour;
  return style;
}

Box draw_panel(Canvas& canvas, const Box& box, const PanelHead& head) {
  canvas.fill(box, canvas.palette().panel, theme::radius);
  canvas.set_home(box);
  const float baseline = box.y + 21.0F;
  const float left = box.x + theme::padding;
  const float right = box.right() - theme::padding;
  float used = canvas.first_fit({left, baseline}, right - left, {head.title}, title(canvas));
  float taken = 0.0F;
  if (!head.right.empty()) {
    taken = canvas.first_fit({right, baseline}, right - left - used - 16.0F, {head.right},
                             label(canvas), Align::right);
  }
  if (!head.hint.empty()) {
    used += 10.0F;
    canvas.first_fit({left + used, baseline}, right - left - used - taken - 16.0F, {head.hint},
                     label(canvas));
  }
  return {left, box.y + panel_head_height, right - left,
          box.h - panel_head_height - theme::padding};
}

float button_width(const Canvas& canvas, std::string_view word, std::string_view key) {
  const float key_width = key.empty() ? 0.0F : 12.0F + canvas.width(key, label(canvas));
  return 20.0F + canvas.width(word, strong(canvas)) + key_width;
}

bool draw_button(Canvas& canvas, std::string_view id, const Box& box, std::string_view word,
                 std::string_view key, ButtonLook look) {
  const auto& palette = canvas.palette();
  const bool main = look == ButtonLook::main;
  const bool hover = canvas.hovers(box);
  const auto ground = main ? palette.brass : palette.raised;
  canvas.fill(box, hover ? theme::mixed(ground, palette.ink, 0.12) : ground, theme::radius);
  if (!main) canvas.outline(box, palette.edge, 1.0F, theme::radius);
  const auto word_style = main ? with_colour(strong(canvas), palette.on_brass) : plain(canvas);
  const auto key_style = main ? with_colour(label(canvas), palette.on_brass) : second(canvas);
  const float baseline = box.y + box.h / 2.0F + 5.0F;
  const float inside = box.w - 14.0F;
  const float word_width = canvas.width(word, word_style);
  const float key_width = key.empty() ? 0.0F : canvas.width(key, key_style);
  const bool with_key = key_width > 0.0F && word_width + 8.0F + key_width <= inside;
  const float left = with_key ? box.x + 10.0F : box.centre().x - std::min(inside, word_width) / 2;
  canvas.first_fit({left, baseline}, inside, {word}, word_style);
  if (with_key) canvas.text({box.right() - 10.0F, baseline - 1.0F}, key, key_style, Align::right);
  return canvas.target(id, box);
}

void draw_figure(Canvas& canvas, Point right, std::string_view number, std::string_view unit,
                 const Style& style) {
  canvas.text(right, number, style, Align::right);
  canvas.text({right.x + 6.0F, right.y}, unit, second(canvas));
}

bool draw_empty_hint(Canvas& canvas, const Box& box, std::string_view heading,
                     std::string_view line, std::string_view button_id,
                     std::string_view button_word) {
  canvas.fill(box, canvas.palette().panel, theme::radius);
  canvas.set_home(box);
  const float width = std::min(box.w - 2.0F * theme::gap, 560.0F);
  const float left = box.centre().x - width / 2.0F;
  const auto style = with_colour(plain(canvas), canvas.palette().ink2);
  const auto lines = static_cast<float>(canvas.line_count(width, line, style));
  const float height = 34.0F + lines * 19.0F + (button_word.empty() ? 0.0F : 44.0F);
  float y = box.y + std::max(theme::padding, (box.h - height) * 0.42F) + 17.0F;
  canvas.text({left, y}, heading, strong_lead(canvas));
  y = canvas.paragraph({left, y + 28.0F}, width, line, style);
  if (button_word.empty()) return false;
  const float wide = button_width(canvas, button_word);
  return draw_button(canvas, button_id, {left, y, wide, theme::button_height}, button_word, {},
                     ButtonLook::main);
}

Box draw_page_hint(Canvas& canvas, const Box& box, std::span<const char* const> names, int& page) {
  constexpr float height = 20.0F;
  page = std::clamp(page, 0, static_cast<int>(names.size()) - 1);
  const auto at = static_cast<std::size_t>(page);
  canvas.set_home(box);
  const float baseline = box.bottom() - 4.0F;
  if (at > 0) {
    canvas.text({box.x + 4.0F, baseline}, std::string("PgUp: ") + names[at - 1], label(canvas));
  }
  if (at + 1 < names.size()) {
    canvas.text({box.right() - 4.0F, baseline}, std::string("PgDn: ") + names[at + 1],
                label(canvas), Align::right);
  }
  return {box.x, box.y, box.w, box.h - height};
}

}  // namespace strumwright::screens
