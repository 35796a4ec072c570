// app/screens/parts/canvas.cpp
#include "app/screens/parts/canvas.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <imgui.h>

namespace strumwright::screens {

using theme::Colour;

namespace {

ImU32 packed(Colour colour) {
  return IM_COL32(colour.red, colour.green, colour.blue, colour.alpha);
}

float text_pixels(const ImFont& font, std::string_view text) {
  return font.CalcTextSizeA(font.FontSize, 1e9F, 0.0F, text.data(), text.data() + text.size()).x;
}

/// How many bytes of `text` end at a whole character at or before `most`.
std::size_t whole(std::string_view text, std::size_t most) {
  most = std::min(most, text.size());
  while (most > 0 && most < text.size() &&
         (static_cast<unsigned char>(text[most]) & 0xC0U) == 0x80U) {
    --most;
  }
  return most;
}

}  // namespace

void Drawn::clear() {
  targets.clear();
  flaws.clear();
  texts.clear();
  moving = false;
  again_in_s = 1e9;
}

Canvas::Canvas(ImDrawList& list, const theme::Theme& theme, const Input& input, Drawn& drawn)
    : list_(&list), theme_(&theme), input_(&input), drawn_(&drawn), home_{0, 0, 1e6F, 1e6F} {}

void Canvas::fill(const Box& box, Colour colour, float radius) {
  const float s = theme_->scale;
  // Whole pixels, so that edges are sharp and neighbours leave no seam.
  const ImVec2 from(std::round(box.x * s), std::round(box.y * s));
  const ImVec2 to(std::round(box.right() * s), std::round(box.bottom() * s));
  list_->AddRectFilled(from, to, packed(colour), radius * s);
}

void Canvas::outline(const Box& box, Colour colour, float thickness, float radius) {
  const float s = theme_->scale;
  const ImVec2 from(std::round(box.x * s), std::round(box.y * s));
  const ImVec2 to(std::round(box.right() * s), std::round(box.bottom() * s));
  list_->AddRect(from, to, packed(colour), radius * s, 0, std::max(1.0F, thickness * s));
}

void Canvas::line(Point a, Point b, Colour colour, float thickness) {
  const float s = theme_->scale;
  list_->AddLine({a.x * s, a.y * s}, {b.x * s, b.y * s}, packed(colour),
                 std::max(1.0F, thickness * s));
}

void Canvas::dashes(Point a, Point b, Colour colour, float on, float off, float thickness) {
  const float dx = b.x - a.x;
  const float dy = b.y - a.y;
  const float length = std::hypot(dx, dy);
  if (length <= 0.0F) return;
  const int count = static_cast<int>(std::ceil(length / (on + off)));
  for (int i = 0; i < count; ++i) {
    const float at = static_cast<float>(i) * (on + off);
    const float end = std::min(at + on, length);
    line({a.x + dx * at / length, a.y + dy * at / length},
         {a.x + dx * end / length, a.y + dy * end / length}, colour, thickness);
  }
}

void Canvas::hairline(Point a, Point b) {
  const float s = theme_->scale;
  const float wide = std::max(1.0F, std::floor(s));
  const ImVec2 from(std::floor(a.x * s), std::floor(a.y * s));
  const ImVec2 to(std::floor(b.x * s), std::floor(b.y * s));
  const ImVec2 end = from.x == to.x ? ImVec2(to.x + wide, to.y) : ImVec2(to.x, to.y + wide);
  list_->AddRectFilled(from, end, packed(palette().line));
}

void Canvas::disc(Point centre, float radius, Colour colour) {
  const float s = theme_->scale;
  list_->AddCircleFilled({centre.x * s, centre.y * s}, radius * s, packed(colour));
}

void Canvas::ring(Point centre, float radius, Colour colour, float thickness) {
  const float s = theme_->scale;
  list_->AddCircle({centre.x * s, centre.y * s}, radius * s, packed(colour), 0, thickness * s);
}

void Canvas::dashed_ring(Point centre, float radius, Colour colour, float thickness, int dashes) {
  const float s = theme_->scale;
  const float step = 2.0F * std::numbers::pi_v<float> / static_cast<float>(dashes);
  for (int i = 0; i < dashes; ++i) {
    const float from = step * static_cast<float>(i);
    list_->PathArcTo({centre.x * s, centre.y * s}, radius * s, from, from + step * 0.56F, 4);
    list_->PathStroke(packed(colour), 0, thickness * s);
  }
}

void Canvas::polygon(std::span<const Point> points, Colour colour, bool smooth) {
  const float s = theme_->scale;
  const auto flags = list_->Flags;
  if (!smooth) list_->Flags &= ~ImDrawListFlags_AntiAliasedFill;
  for (const auto& point : points) list_->PathLineTo({point.x * s, point.y * s});
  list_->PathFillConvex(packed(colour));
  list_->Flags = flags;
}

void Canvas::polygon_line(std::span<const Point> points, Colour colour, float thickness,
                          bool closed) {
  const float s = theme_->scale;
  for (const auto& point : points) list_->PathLineTo({point.x * s, point.y * s});
  list_->PathStroke(packed(colour), closed ? ImDrawFlags_Closed : 0, thickness * s);
}

void Canvas::curve(Point from, Point control1, Point control2, Point to, Colour colour,
                   float thickness) {
  const float s = theme_->scale;
  list_->AddBezierCubic({from.x * s, from.y * s}, {control1.x * s, control1.y * s},
                        {control2.x * s, control2.y * s}, {to.x * s, to.y * s}, packed(colour),
                        thickness * s);
}

void Canvas::hatch(const Box& box, Colour colour, float stripe, float step) {
  push_clip(box);
  const int count = static_cast<int>(std::ceil((box.w + box.h) / step));
  for (int i = 0; i < count; ++i) {
    const float x = box.x - box.h + static_cast<float>(i) * step;
    const std::array<Point, 4> points = {{{x, box.bottom()},
                                          {x + box.h, box.y},
                                          {x + box.h + stripe, box.y},
                                          {x + stripe, box.bottom()}}};
    polygon(points, colour);
  }
  pop_clip();
}

ImFont* Canvas::font_of(const Style& style) const {
  return theme_->fonts.find(style.face, style.size);
}

float Canvas::width(std::string_view text, const Style& style) const {
  return text_pixels(*font_of(style), text) / theme_->scale;
}

void Canvas::note_text(std::string_view text, const Box& box) {
  if (!home_.holds(box, 1.5F)) drawn_->flaws.emplace_back(text);
  if (drawn_->keep_texts) drawn_->texts.push_back({std::string(text), box, home_});
}

float Canvas::text(Point at, std::string_view text, const Style& style, Align align) {
  return text_with(font_of(style), at, text, style.colour, align);
}

float Canvas::text_with(ImFont* font, Point at, std::string_view text, Colour colour, Align align,
                        float share) {
  if (text.empty()) return 0.0F;
  const float s = theme_->scale;
  const float wide = text_pixels(*font, text) * share;
  const float shift = align == Align::left ? 0.0F : align == Align::right ? wide : wide / 2.0F;
  const ImVec2 from(std::round(at.x * s - shift),
                    std::round(at.y * s) - std::round(font->Ascent * share));
  list_->AddText(font, font->FontSize * share, from, packed(colour), text.data(),
                 text.data() + text.size());
  // The em box less its empty top: capitals and descenders.
  const float em = font->FontSize * share / theme::line_of_em / s;
  note_text(text, {from.x / s, at.y - em * 0.75F, wide / s, em * 0.95F});
  return wide / s;
}

float Canvas::width_with(ImFont* font, std::string_view text) const {
  return text_pixels(*font, text) / theme_->scale;
}

float Canvas::first_fit(Point at, float width, std::initializer_list<std::string_view> forms,
                        const Style& style, Align align) {
  for (const auto form : forms) {
    if (this->width(form, style) <= width) return text(at, form, style, align);
  }
  return 0.0F;
}

std::string Canvas::shortened(std::string_view text, const Style& style, float width) const {
  if (this->width(text, style) <= width) return std::string(text);
  // Most of the beginning and a little of the end: ports differ in their last characters.
  for (std::size_t kept = text.size(); kept > 0; --kept) {
    const std::size_t tail = kept >= 12 ? kept / 4 : 0;
    const std::size_t head = whole(text, kept - tail);
    std::size_t from = text.size() - tail;
    while (from < text.size() && (static_cast<unsigned char>(text[from]) & 0xC0U) == 0x80U) ++from;
    auto shorter = std::string(text.substr(0, head));
    while (!shorter.empty() && shorter.back() == ' ') shorter.pop_back();
    if (shorter.empty()) break;
    shorter.append("…").append(text.substr(from));
    if (this->width(shorter, style) <= width) return shorter;
  }
  return {};
}

std::string_view Canvas::next_line(std::string_view& rest, float width, const Style& style) const {
  std::size_t fits = 0;
  std::size_t at = 0;
  while (at < rest.size()) {
    const std::size_t space = std::min(rest.find(' ', at), rest.size());
    if (this->width(rest.substr(0, space), style) > width) break;
    fits = space;
    at = space + 1;
  }
  if (fits == 0) {  // one word wider than the line: broken where it must
    fits = rest.size();
    while (fits > 1 && this->width(rest.substr(0, fits), style) > width) {
      fits = std::max<std::size_t>(1, whole(rest, fits - 1));
    }
  }
  const auto line = rest.substr(0, fits);
  rest.remove_prefix(std::min(rest.size(), fits + (fits < rest.size() && rest[fits] == ' ')));
  return line;
}

float Canvas::paragraph(Point at, float width, std::string_view text, const Style& style,
                        int most_lines) {
  const float step = style.size * theme::line_height;
  for (int i = 0; i < most_lines && !text.empty(); ++i) {
    const auto before = text;
    const auto line = next_line(text, width, style);
    if (i + 1 == most_lines && !text.empty()) {
      this->text(at, shortened(before, style, width), style);
    } else {
      this->text(at, line, style);
    }
    at.y += step;
  }
  return at.y;
}

int Canvas::line_count(float width, std::string_view text, const Style& style) const {
  int lines = 0;
  while (!text.empty()) {
    next_line(text, width, style);
    ++lines;
  }
  return lines;
}

bool Canvas::target(std::string_view id, const Box& box) {
  if (covered_) return false;
  drawn_->targets.push_back({std::string(id), box});
  const bool focused = !input_->focus.empty() && input_->focus == id;
  if (focused) outline(box.inset(-3.0F), palette().brass, 2.0F, theme::radius + 2.0F);
  return (input_->pressed && box.has(input_->pointer)) || (focused && input_->enter);
}

void Canvas::push_clip(const Box& box) {
  const float s = theme_->scale;
  list_->PushClipRect({std::floor(box.x * s), std::floor(box.y * s)},
                      {std::ceil(box.right() * s), std::ceil(box.bottom() * s)}, true);
}

void Canvas::pop_clip() { list_->PopClipRect(); }

void Canvas::draw_again_in(double seconds) {
  drawn_->again_in_s = std::min(drawn_->again_in_s, seconds);
}

}  // namespace strumwright::screens
