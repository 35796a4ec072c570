// app/screens/source_list.cpp
#include "app/screens/source_list.h"

#include <algorithm>

#include "app/screens/parts/marks.h"
#include "app/screens/parts/outside_text.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

namespace {

constexpr float row_height = 44.0F;

bool draw_choice(Canvas& canvas, const Box& row, std::string_view id, Mark mark,
                 const std::string& name, const std::string& detail) {
  if (canvas.hovers(row)) canvas.fill(row, canvas.palette().raised, theme::radius);
  draw_mark(canvas, mark, {row.x + 16.0F, row.y + 15.0F}, 6.0F);
  const float left = row.x + 32.0F;
  const float room = row.right() - 8.0F - left;
  canvas.text({left, row.y + 19.0F}, canvas.shortened(name, strong(canvas), room), strong(canvas));
  canvas.text({left, row.y + 36.0F}, canvas.shortened(detail, second(canvas), room),
              second(canvas));
  return canvas.target(id, row);
}

/// What is to be said above the list; empty: nothing.
const char* words_for(std::span<const SourceChoice> choices) {
  if (choices.empty()) {
    return "No MIDI port or serial line is there. Plug the controller in; `strumwright ports` "
           "tells "
           "which service is missing and how to start it.";
  }
  const bool ports = std::any_of(choices.begin(), choices.end(), [](const SourceChoice& choice) {
    return choice.id.starts_with("port:");
  });
  return ports
             ? ""
             : "No MIDI port is there: `strumwright ports` tells which service is missing and how "
               "to start it.";
}

}  // namespace

SourceListAnswer draw_source_list(Canvas& canvas, const Box& window,
                                  std::span<const SourceChoice> choices) {
  SourceListAnswer answer;
  const float width = std::min(window.w - 24.0F, 520.0F);
  const std::string_view words = words_for(choices);
  const auto style = with_colour(plain(canvas), canvas.palette().ink2);
  const float words_width = width - 2.0F * theme::padding;
  const int lines = std::min(3, canvas.line_count(words_width, words, style));
  const float head =
      panel_head_height + (words.empty() ? 0.0F : 10.0F + 19.0F * static_cast<float>(lines));
  const float room = window.h - 24.0F - head - row_height - 12.0F;
  const auto shown =
      std::min(choices.size(), static_cast<std::size_t>(std::max(0.0F, room / row_height)));
  const float height = head + row_height * static_cast<float>(shown + 1) + 12.0F;
  const Box card{window.centre().x - width / 2.0F, window.centre().y - height / 2.0F, width,
                 height};
  canvas.fill(window, theme::faded(canvas.palette().bench, 0.72));
  canvas.outline(card.inset(-1.0F), canvas.palette().edge, 1.0F, theme::radius);
  draw_panel(canvas, card, {"Sources", {}, "Esc closes"});
  if (!words.empty()) {
    canvas.paragraph({card.x + theme::padding, card.y + 50.0F}, words_width, words, style, lines);
  }
  Box row{card.x + 8.0F, card.y + head, width - 16.0F, row_height};
  for (std::size_t i = 0; i < shown; ++i, row.y += row_height) {
    const auto& choice = choices[i];
    if (draw_choice(canvas, row, "source." + std::to_string(i + 1), Mark::waiting,
                    outside_text(choice.name), outside_text(choice.detail))) {
      answer.open = choice.id;
    }
  }
  answer.simulate = draw_choice(canvas, row, "source.simulated", Mark::simulated, "SIMULATED Heron",
                                "plays by itself, needs no hardware");
  const bool outside = canvas.input().pressed && !card.has(canvas.input().pointer);
  answer.closed = answer.open || answer.simulate || outside;
  return answer;
}

}  // namespace strumwright::screens
