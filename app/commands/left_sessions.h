// app/commands/left_sessions.h
#pragma once

#include <filesystem>
#include <vector>

#include "app/engine/notice.h"

namespace strumwright::commands {

/// Sessions that a crash cut off: their last minutes are put among the kept ones. A sentence for
/// each, with the file, or why it could not be saved (then its spool stays).
[[nodiscard]] std::vector<engine::Notice> save_left_sessions(
    const std::filesystem::path& data_directory);

}  // namespace strumwright::commands
