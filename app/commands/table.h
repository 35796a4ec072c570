// app/commands/table.h
#pragma once

#include <span>

#include "app/commands/command.h"

namespace strumwright::commands {

/// Every command, in the order of the help.
[[nodiscard]] std::span<const Command> table();

/// What runs without a command's name: the window.
[[nodiscard]] const Command& window();

}  // namespace strumwright::commands
