// app/io/settings.h
#pragma once

#include <filesystem>
#include <string>

#include "core/result.h"

namespace strumwright::io {

/// What comes back at the next start.
struct Settings {
  std::string area = "hear";
  int scale_percent = 0;  ///< 0: as the display asks for
  bool light = false;
  std::string source;  ///< "port:NAME", "serial:DEVICE", "raw:PATH"; empty: the simulated
  bool spool = true;   ///< hold the last 15 minutes on disk
};

/// Reads the file; defaults where there is none. Errors: it cannot be read as ours; nothing in it
/// is then used.
Result<Settings> read_settings(const std::filesystem::path& file);

/// Writes it whole or not at all, and makes its folder.
Result<Done> write_settings(const std::filesystem::path& file, const Settings& settings);

}  // namespace strumwright::io
