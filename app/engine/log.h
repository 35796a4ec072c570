// app/engine/log.h
#pragma once

#include <filesystem>
#include <memory>
#include <string_view>

namespace strumwright::engine {

/// The program's own log: what it opened, lost, wrote and could not do. Never what was played.
///
/// Three files of 1 MB at most (ours). Any thread but a port's callback. Errors: a log that cannot
/// be written is silent.
class Log {
 public:
  /// An empty path logs nowhere.
  explicit Log(const std::filesystem::path& file);
  ~Log();
  Log(const Log&) = delete;
  Log& operator=(const Log&) = delete;

  void info(std::string_view line);
  void warning(std::string_view line);

 private:
  struct Writer;
  std::unique_ptr<Writer> writer_;
};

}  // namespace strumwright::engine
