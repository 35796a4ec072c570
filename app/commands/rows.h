// app/commands/rows.h
#pragma once

#include <string>
#include <string_view>

#include "app/commands/command.h"

namespace strumwright::commands {

// The rows of the command table, one a file.
[[nodiscard]] Command ports_command();
[[nodiscard]] Command listen_command();
[[nodiscard]] Command audit_command();
[[nodiscard]] Command name_command();
[[nodiscard]] Command explain_command();
[[nodiscard]] Command simulate_command();
[[nodiscard]] Command window_command();

/// Text from outside, safe for a terminal: control characters become '?', long text is cut.
[[nodiscard]] std::string printable(std::string_view text);

}  // namespace strumwright::commands
