// app/screens/parts/canvas.h
#pragma once

#include <cstdint>
#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/screens/parts/geometry.h"
#include "app/screens/parts/keys.h"
#include "app/theme/theme.h"

struct ImDrawList;
struct ImFont;

namespace strumwright::screens {

/// Something that can be clicked or plucked.
struct Target {
  std::string id;  ///< "area.notes"
  Box box;
};

/// A text as it was put on the screen.
struct PlacedText {
  std::string text;
  Box box;
  Box home;
};

/// What came of one frame besides its picture.
struct Drawn {
  std::vector<Target> targets;
  std::vector<std::string> flaws;  ///< texts that left the box they belong to: a fault of layout
  bool moving = false;             ///< draw the next frame as soon as the display takes it
  double again_in_s = 1e9;         ///< and at the latest after this time
  bool keep_texts = false;         ///< set by layout tests: fill `texts`
  std::vector<PlacedText> texts;

  void clear();
};

/// The window, the pointer and the focus as a frame sees them, in units.
struct Input {
  Box window;
  Point pointer{-1.0F, -1.0F};
  bool pressed = false;  ///< the main button went down since the last frame
  bool down = false;
  bool released = false;
  float wheel = 0.0F;
  std::string focus;   ///< id of the target that has the keyboard; empty: none
  bool enter = false;  ///< the focused target was asked for
  std::vector<KeyPress> keys;
};

struct Style {
  float size = theme::text_size;
  theme::Face face = theme::Face::regular;
  theme::Colour colour;
};

enum class Align : std::uint8_t { left, centre, right };

/// Draws in units, so that a screen knows nothing of scale or pixels; notes what can be clicked
/// and any text that leaves its box.
///
/// Texts stand on their baseline and start on a whole pixel. Thread: the one that builds frames.
class Canvas {
 public:
  Canvas(ImDrawList& list, const theme::Theme& theme, const Input& input, Drawn& drawn);

  [[nodiscard]] const theme::Palette& palette() const { return *theme_->palette; }
  [[nodiscard]] const theme::Theme& theme() const { return *theme_; }
  [[nodiscard]] const Input& input() const { return *input_; }
  [[nodiscard]] theme::Room room() const { return theme::room_for(input_->window.w); }

  // Shapes
  void fill(const Box& box, theme::Colour colour, float radius = 0.0F);
  void outline(const Box& box, theme::Colour colour, float thickness = 1.0F, float radius = 0.0F);
  void line(Point a, Point b, theme::Colour colour, float thickness = 1.0F);
  void dashes(Point a, Point b, theme::Colour colour, float on, float off, float thickness = 1.0F);
  /// One pixel wide at every scale below 150 %, on whole pixels.
  void hairline(Point a, Point b);
  void disc(Point centre, float radius, theme::Colour colour);
  void ring(Point centre, float radius, theme::Colour colour, float thickness);
  void dashed_ring(Point centre, float radius, theme::Colour colour, float thickness, int dashes);
  /// Convex. Not smooth: for shapes that share an edge, which would show as a seam.
  void polygon(std::span<const Point> points, theme::Colour colour, bool smooth = true);
  void polygon_line(std::span<const Point> points, theme::Colour colour, float thickness,
                    bool closed);
  void curve(Point from, Point control1, Point control2, Point to, theme::Colour colour,
             float thickness);
  /// Diagonal stripes over `box`, clipped to it.
  void hatch(const Box& box, theme::Colour colour, float stripe, float step);

  // Text
  [[nodiscard]] float width(std::string_view text, const Style& style) const;
  /// Puts a text with its baseline at `at`; returns its width.
  float text(Point at, std::string_view text, const Style& style, Align align = Align::left);
  /// The first form that fits into `width`; nothing if none does. Returns the width taken.
  float first_fit(Point at, float width, std::initializer_list<std::string_view> forms,
                  const Style& style, Align align = Align::left);
  /// The text, or its beginning and end with "…" between, so that it fits; empty if nothing would.
  [[nodiscard]] std::string shortened(std::string_view text, const Style& style, float width) const;
  /// Wraps at spaces; first baseline at `at`, at most `most_lines`, the last one shortened.
  /// Returns the baseline after the last line.
  float paragraph(Point at, float width, std::string_view text, const Style& style,
                  int most_lines = 1000);
  /// The lines that `paragraph` would use.
  [[nodiscard]] int line_count(float width, std::string_view text, const Style& style) const;

  /// A text in a font of its own; `at` is the baseline. With a `share` below 1 it is drawn smaller
  /// than the font was made for: fit for large letters only, and not below a half.
  float text_with(ImFont* font, Point at, std::string_view text, theme::Colour colour,
                  Align align = Align::left, float share = 1.0F);
  [[nodiscard]] float width_with(ImFont* font, std::string_view text) const;

  // Targets
  /// Declares that `box` can be clicked; true if it was, or if Enter came while it had the focus.
  bool target(std::string_view id, const Box& box);
  [[nodiscard]] bool hovers(const Box& box) const { return !covered_ && box.has(input_->pointer); }
  /// Whether something lies over what is drawn next, so that none of it can be clicked.
  void cover(bool covered) { covered_ = covered; }

  // Where texts belong: a text that leaves the home is noted as a flaw.
  void set_home(const Box& box) { home_ = box; }
  [[nodiscard]] const Box& home() const { return home_; }
  void push_clip(const Box& box);
  void pop_clip();

  // Motion
  /// Something carries time: another frame, please.
  void keep_moving() { drawn_->moving = true; }
  void draw_again_in(double seconds);

  [[nodiscard]] float pixels(float units) const { return units * theme_->scale; }
  [[nodiscard]] ImDrawList& list() { return *list_; }

 private:
  [[nodiscard]] ImFont* font_of(const Style& style) const;
  void note_text(std::string_view text, const Box& box);
  std::string_view next_line(std::string_view& rest, float width, const Style& style) const;

  ImDrawList* list_;
  const theme::Theme* theme_;
  const Input* input_;
  Drawn* drawn_;
  Box home_;
  bool covered_ = false;
};

}  // namespace strumwright::screens
