// app/io/settings.cpp
#include "app/io/settings.h"

#include <fstream>
#include <system_error>

#include <nlohmann/json.hpp>

#include "app/io/files.h"
#include "app/io/places.h"

namespace strumwright::io {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

/// Takes a member if it is there and of the type; anything else keeps what stands.
template <class T>
void take(const json& from, const char* name, T& to) {
  const auto member = from.find(name);
  if (member == from.end()) return;
  if constexpr (std::is_same_v<T, bool>) {
    if (member->is_boolean()) to = member->get<bool>();
  } else if constexpr (std::is_same_v<T, int>) {
    if (member->is_number_integer()) to = member->get<int>();
  } else {
    if (member->is_string()) to = member->get<std::string>();
  }
}

}  // namespace

Result<Settings> read_settings(const fs::path& file) {
  Settings settings;
  std::error_code code;
  if (!fs::exists(file, code)) return settings;
  std::ifstream stream(file);
  const auto read = json::parse(stream, nullptr, false);
  if (!read.is_object()) {
    return Error{"the settings cannot be read", file.string(),
                 "delete the file, or start with --safe"};
  }
  take(read, "area", settings.area);
  take(read, "scale_percent", settings.scale_percent);
  take(read, "light", settings.light);
  take(read, "source", settings.source);
  take(read, "spool", settings.spool);
  return settings;
}

Result<Done> write_settings(const fs::path& file, const Settings& settings) {
  if (auto folder = make_writable(file.parent_path()); !folder) return folder.error();
  auto sink = FileSink::create(file.string());
  if (!sink) return sink.error();
  const json content = {{"area", settings.area},
                        {"scale_percent", settings.scale_percent},
                        {"light", settings.light},
                        {"source", settings.source},
                        {"spool", settings.spool}};
  const std::string text = content.dump(2, ' ', false, json::error_handler_t::replace) + "\n";
  auto done = (*sink)->write({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  return done ? (*sink)->close() : done;
}

}  // namespace strumwright::io
