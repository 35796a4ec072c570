// app/screens/area.h
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace strumwright::screens {

/// The nine areas of the window, in the order of their keys 1 to 9.
enum class Area : std::uint8_t {
  hear,
  notes,
  wire,
  instrument,
  prove,
  touch,
  harp,
  practise,
  logbook,
};
inline constexpr std::size_t area_count = 9;

struct AreaText {
  Area area;
  const char* name;   ///< "hear", as options and documents spell it
  const char* title;  ///< "Hear"
  const char* group;  ///< "Listen": heading of the rail above the first area of a group
};

[[nodiscard]] const std::array<AreaText, area_count>& areas();
[[nodiscard]] const AreaText& text_of(Area area);
/// None if no area has that name.
[[nodiscard]] std::optional<Area> find_area(std::string_view name);

}  // namespace strumwright::screens
