// app/window/screenshot.h
#pragma once

#include <filesystem>

#include "app/window/picture.h"
#include "core/result.h"

namespace strumwright::window {

/// Writes pixels as a PNG file, its opacity left out.
Result<Done> write_png(const Pixels& pixels, const std::filesystem::path& file);

}  // namespace strumwright::window
