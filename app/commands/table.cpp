// app/commands/table.cpp
#include "app/commands/table.h"

#include <array>

#include "app/commands/rows.h"
#include "core/limits.h"

namespace strumwright::commands {

std::span<const Command> table() {
  static const std::array<Command, 6> rows = {ports_command(),   listen_command(),
                                              audit_command(),   name_command(),
                                              explain_command(), simulate_command()};
  return rows;
}

const Command& window() {
  static const Command row = window_command();
  return row;
}

std::string printable(std::string_view text) {
  std::string safe;
  for (const char character : text.substr(0, limits::label_characters)) {
    const auto byte = static_cast<unsigned char>(character);
    safe += byte < 0x20 || byte == 0x7F ? '?' : character;
  }
  return safe;
}

}  // namespace strumwright::commands
