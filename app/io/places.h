// app/io/places.h
#pragma once

#include <filesystem>

#include "core/result.h"

namespace strumwright::io {

/// Where our own files go. Source: XDG Base Directory Specification 0.8 (XDG_DATA_HOME,
/// XDG_CONFIG_HOME, with the defaults that it names).
[[nodiscard]] std::filesystem::path data_directory();
[[nodiscard]] std::filesystem::path settings_directory();

/// Makes the folder and its parents. Errors: why it cannot be written.
Result<Done> make_writable(const std::filesystem::path& directory);

}  // namespace strumwright::io
