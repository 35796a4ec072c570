// app/screens/rail.cpp
#include "app/screens/rail.h"

#include <algorithm>
#include <string>
#include <string_view>

#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

using theme::Room;

namespace {

struct Layout {
  Room room;
  float item;   ///< height of an area's row
  float group;  ///< height of a group's heading; 0: left out
};

Layout layout_for(const Box& box, Room room) {
  if (room == Room::narrow) return {room, std::min(36.0F, (box.h - 8.0F) / 9.0F), 0.0F};
  if (box.h >= 9.0F * 36.0F + 4.0F * 36.0F) return {room, 36.0F, 36.0F};
  if (box.h >= 9.0F * 34.0F + 4.0F * 25.0F) return {room, 34.0F, 25.0F};
  return {room, std::min(36.0F, (box.h - 8.0F) / 9.0F), 0.0F};
}

void draw_errors(Canvas& canvas, const Box& row, float baseline, std::uint64_t errors) {
  const auto count = errors > 99 ? std::string("99+") : std::to_string(errors);
  const float right = row.right() - 8.0F;
  const float used = canvas.text({right, baseline}, count, second(canvas), Align::right);
  draw_mark(canvas, Mark::error, {right - used - 8.0F, row.centre().y}, 4.4F);
}

/// On hover, the name of an area of which the narrow rail shows the digit only.
void draw_name_plate(Canvas& canvas, const Box& row, std::string_view name) {
  const auto home = canvas.home();
  const Box plate{row.right() + 6.0F, row.y, canvas.width(name, strong(canvas)) + 20.0F, row.h};
  canvas.set_home(plate);
  canvas.fill(plate, canvas.palette().raised, theme::radius);
  canvas.outline(plate, canvas.palette().edge, 1.0F, theme::radius);
  canvas.text({plate.x + 10.0F, plate.centre().y + 5.0F}, name, strong(canvas));
  canvas.set_home(home);
}

void draw_area(Canvas& canvas, const Box& row, const Layout& layout, const AreaText& text,
               const RailState& state) {
  const auto& palette = canvas.palette();
  const bool chosen = text.area == state.area;
  const bool narrow = layout.room == Room::narrow;
  if (chosen || canvas.hovers(row)) canvas.fill(row, palette.raised, theme::radius);
  if (chosen) canvas.fill({row.x, row.y + 6.0F, 3.0F, row.h - 12.0F}, palette.brass, 1.5F);
  const std::string digit(1, static_cast<char>('1' + static_cast<int>(text.area)));
  const float baseline = row.centre().y + 5.0F;
  if (narrow) {
    auto style = chosen ? strong(canvas) : plain(canvas);
    style.colour = chosen ? palette.ink : palette.ink2;
    canvas.text({row.centre().x, baseline}, digit, style, Align::centre);
    if (text.area == Area::notes && state.errors > 0) {
      draw_mark(canvas, Mark::error, {row.right() - 3.0F, row.y + 5.0F}, 3.4F);
    }
    return;
  }
  canvas.text({row.x + 14.0F, baseline}, digit,
              with_colour(label(canvas), chosen ? palette.brass : palette.ink3));
  canvas.text({row.x + 32.0F, baseline}, text.title,
              chosen ? strong(canvas) : with_colour(plain(canvas), palette.ink2));
  if (text.area == Area::notes && state.errors > 0) {
    draw_errors(canvas, row, baseline, state.errors);
  }
}

void draw_foot(Canvas& canvas, const Box& box, float used_to, int scale_percent) {
  if (box.bottom() - used_to < 56.0F) return;
  const float baseline = box.bottom() - 16.0F;
  canvas.first_fit({box.x + 16.0F, baseline - 20.0F}, box.w - 24.0F,
                   {"F1  help and keys", "F1  help"}, label(canvas));
  const float used =
      canvas.first_fit({box.x + 16.0F, baseline}, 70.0F, {"Ctrl +  size"}, label(canvas));
  const auto percent = std::to_string(scale_percent) + " %";
  canvas.first_fit({box.right() - 16.0F, baseline}, box.w - 36.0F - used, {percent}, second(canvas),
                   Align::right);
}

}  // namespace

float rail_width(Room room) {
  return room == Room::wide ? 148.0F : room == Room::middle ? 124.0F : 36.0F;
}

std::optional<Area> draw_rail(Canvas& canvas, const Box& box, Room room, const RailState& state) {
  canvas.set_home(box);
  canvas.fill(box, canvas.palette().rail);
  canvas.hairline({box.right() - 1.0F, box.y}, {box.right() - 1.0F, box.bottom()});
  const auto layout = layout_for(box, room);
  const float margin = room == Room::narrow ? 3.0F : 8.0F;
  float y = box.y + (layout.group > 0.0F ? 2.0F : 4.0F);
  std::optional<Area> chosen;
  const AreaText* hovered = nullptr;
  Box hovered_row;
  std::string_view group;
  for (const auto& text : areas()) {
    if (group != text.group && layout.group > 0.0F) {
      y += layout.group;
      canvas.text({box.x + 16.0F, y - 9.0F}, text.group, label(canvas));
    }
    group = text.group;
    const Box row{box.x + margin, y, box.w - 2.0F * margin, layout.item};
    draw_area(canvas, row, layout, text, state);
    if (canvas.target(std::string("area.") + text.name, row)) chosen = text.area;
    if (canvas.hovers(row)) {
      hovered = &text;
      hovered_row = row;
    }
    y += layout.item;
  }
  if (room == Room::narrow) {
    if (hovered != nullptr) draw_name_plate(canvas, hovered_row, hovered->title);
  } else {
    draw_foot(canvas, box, y, state.scale_percent);
  }
  return chosen;
}

}  // namespace strumwright::screens
