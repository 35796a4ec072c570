// app/io/places.cpp
#include "app/io/places.h"

#include <cstdlib>
#include <string>
#include <system_error>

#include <unistd.h>

namespace strumwright::io {
namespace {

namespace fs = std::filesystem;

/// The specification has relative paths ignored.
fs::path base(const char* variable, const char* below_home) {
  const char* set = std::getenv(variable);
  if (set != nullptr && fs::path(set).is_absolute()) return fs::path(set) / "strumwright";
  const char* home = std::getenv("HOME");
  const fs::path root = home != nullptr ? fs::path(home) : fs::current_path();
  return root / below_home / "strumwright";
}

}  // namespace

fs::path data_directory() { return base("XDG_DATA_HOME", ".local/share"); }

fs::path settings_directory() { return base("XDG_CONFIG_HOME", ".config"); }

Result<Done> make_writable(const fs::path& directory) {
  std::error_code code;
  fs::create_directories(directory, code);
  if (!code && access(directory.c_str(), W_OK) == 0) return Done{};
  const std::string why = code ? code.message() : "no permission to write";
  return Error{"the folder cannot be used (" + why + ")", directory.string(),
               "make it writable, or set XDG_DATA_HOME to one that is"};
}

}  // namespace strumwright::io
