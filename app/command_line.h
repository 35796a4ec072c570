// app/command_line.h
#pragma once

#include <span>
#include <string>
#include <vector>

#include "app/commands/command.h"

namespace strumwright {

/// Parses `arguments` (without the program's name) against the table and runs the command; without
/// a command's name, `window`. Prints help where it is asked for.
commands::Exit run_command_line(const std::vector<std::string>& arguments,
                                std::span<const commands::Command> table,
                                const commands::Command& window, commands::Streams& streams);

}  // namespace strumwright
