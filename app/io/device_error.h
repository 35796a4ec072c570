// app/io/device_error.h
#pragma once

#include <string>

#include "core/result.h"

namespace strumwright::io {

/// What the system's error number means for whoever wants to open `path`, and what to do.
[[nodiscard]] Error device_error(int number, const std::string& path);

/// 31250 as "31,250".
[[nodiscard]] std::string grouped(long value);

}  // namespace strumwright::io
