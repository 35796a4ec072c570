// app/screens/area.cpp
#include "app/screens/area.h"

namespace strumwright::screens {

const std::array<AreaText, area_count>& areas() {
  static constexpr std::array<AreaText, area_count> table = {{
      {Area::hear, "hear", "Hear", "Listen"},
      {Area::notes, "notes", "Notes", "Listen"},
      {Area::wire, "wire", "Wire", "Listen"},
      {Area::instrument, "instrument", "Instrument", "Make"},
      {Area::prove, "prove", "Prove", "Make"},
      {Area::touch, "touch", "Touch", "Make"},
      {Area::harp, "harp", "Harp", "Play"},
      {Area::practise, "practise", "Practise", "Play"},
      {Area::logbook, "logbook", "Logbook", "Keep"},
  }};
  return table;
}

const AreaText& text_of(Area area) { return areas()[static_cast<std::size_t>(area)]; }

std::optional<Area> find_area(std::string_view name) {
  for (const auto& row : areas()) {
    if (name == row.name) return row.area;
  }
  return std::nullopt;
}

}  // namespace strumwright::screens
