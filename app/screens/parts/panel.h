// app/screens/parts/panel.h
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

// Styles that every area uses, in the colours of the canvas's look.
[[nodiscard]] Style label(const Canvas& canvas);        ///< 12, ink3: axes and hints
[[nodiscard]] Style second(const Canvas& canvas);       ///< 12, ink2
[[nodiscard]] Style plain(const Canvas& canvas);        ///< 14, ink
[[nodiscard]] Style strong(const Canvas& canvas);       ///< 14 bold, ink
[[nodiscard]] Style lead(const Canvas& canvas);         ///< 17, ink
[[nodiscard]] Style strong_lead(const Canvas& canvas);  ///< 17 bold, ink
[[nodiscard]] Style figure(const Canvas& canvas);       ///< 24 bold, ink
[[nodiscard]] Style title(const Canvas& canvas);        ///< 14 bold, ink2
[[nodiscard]] Style with_colour(Style style, theme::Colour colour);

/// What a panel's head says. Hint and right text go before the title does when it is narrow.
struct PanelHead {
  std::string_view title;
  std::string_view hint = {};   ///< what the picture shows
  std::string_view right = {};  ///< at the right edge
};

inline constexpr float panel_head_height = 32.0F;

/// Draws a panel's ground and head, makes it the home of the texts that follow, and returns the box
/// that is left for its contents.
Box draw_panel(Canvas& canvas, const Box& box, const PanelHead& head);

enum class ButtonLook : std::uint8_t { quiet, main };

/// A button with its key beside its word; true if it was chosen. `box.h` is the button's height.
bool draw_button(Canvas& canvas, std::string_view id, const Box& box, std::string_view word,
                 std::string_view key = {}, ButtonLook look = ButtonLook::quiet);
/// The width a button needs.
[[nodiscard]] float button_width(const Canvas& canvas, std::string_view word,
                                 std::string_view key = {});

/// A number that ends at `right` with its unit after it in the second ink.
void draw_figure(Canvas& canvas, Point right, std::string_view number, std::string_view unit,
                 const Style& style);

/// One line and its button in the middle of an area that has nothing to show yet.
/// True if the button was chosen; no button without a word.
bool draw_empty_hint(Canvas& canvas, const Box& box, std::string_view heading,
                     std::string_view line, std::string_view button_id = {},
                     std::string_view button_word = {});

/// For a narrow window, which shows one panel of an area at a time: brings `page` into range, says
/// at the foot what the page keys lead to, and returns the box that is left for the panel.
Box draw_page_hint(Canvas& canvas, const Box& box, std::span<const char* const> names, int& page);

}  // namespace strumwright::screens
