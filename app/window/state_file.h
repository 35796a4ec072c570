// app/window/state_file.h
#pragma once

#include <filesystem>
#include <string>

#include "core/result.h"

namespace strumwright::window {

/// Replaces `file` by `text` in one step, so that a reader sees the old or the new, never half.
Result<Done> replace_file(const std::filesystem::path& file, const std::string& text);

}  // namespace strumwright::window
