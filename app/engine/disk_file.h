// app/engine/disk_file.h
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>

#include "app/io/file_descriptor.h"
#include "core/result.h"

namespace strumwright::engine {

/// A capture or segment being written while it grows. Lines gather in memory until `write_out`.
///
/// After an error nothing more is to be written; what was is good up to its last whole line.
/// Thread: its owner's only.
class DiskFile {
 public:
  /// Makes or empties `path`, its folders too.
  static Result<DiskFile> create(std::filesystem::path path);

  /// What waits; append whole lines.
  [[nodiscard]] std::string& text() { return text_; }
  /// Hands what waits to the system.
  Result<Done> write_out();
  /// Makes sure that it is on the disk.
  Result<Done> sync();
  /// Writes out, syncs and closes.
  Result<Done> close();
  /// Cuts the last line, so that a reader sees that something is missing here.
  void tear();

  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  DiskFile(std::filesystem::path path, io::FileDescriptor file);

  std::filesystem::path path_;
  io::FileDescriptor file_;
  std::string text_;
};

}  // namespace strumwright::engine
