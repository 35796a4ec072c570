// app/window/state_file.cpp
#include "app/window/state_file.h"

#include <fstream>
#include <system_error>

namespace strumwright::window {

Result<Done> replace_file(const std::filesystem::path& file, const std::string& text) {
  auto beside = file;
  beside += ".new";
  std::ofstream out(beside, std::ios::binary | std::ios::trunc);
  out << text;
  out.close();
  std::error_code failed;
  if (out) std::filesystem::rename(beside, file, failed);
  if (!out || failed) {
    return Error{"the state of the window could not be written", file.string(),
                 "choose a place that you may write to"};
  }
  return Done{};
}

}  // namespace strumwright::window
