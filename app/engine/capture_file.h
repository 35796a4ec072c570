// app/engine/capture_file.h
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "core/result.h"
#include "core/session/entry.h"

namespace strumwright::engine {

/// A capture file being written. Entries gather in memory until `write_out`.
///
/// After an error nothing more is written; what was is good up to its last whole line.
/// Closes itself. Thread: its owner's only.
class CaptureFile {
 public:
  /// Makes or empties `path`, its folders too; writes the header. Entries are shifted so that
  /// `zero_ns` becomes 0.
  static Result<CaptureFile> create(std::filesystem::path path, const session::InputHeader& header,
                                    std::int64_t zero_ns);
  CaptureFile(CaptureFile&& other) noexcept;
  CaptureFile& operator=(CaptureFile&& other) noexcept;
  CaptureFile(const CaptureFile&) = delete;
  CaptureFile& operator=(const CaptureFile&) = delete;
  ~CaptureFile();

  void add(const session::Entry& entry);
  /// Hands what gathered to the system.
  Result<Done> write_out();
  /// Makes sure that it is on the disk.
  Result<Done> sync();
  /// Writes out, syncs and closes.
  Result<Done> close();

  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  [[nodiscard]] std::size_t waiting_bytes() const { return text_.size(); }

 private:
  CaptureFile(std::filesystem::path path, int descriptor, std::int64_t zero_ns);

  std::filesystem::path path_;
  int descriptor_ = -1;
  std::int64_t zero_ns_ = 0;
  std::string text_;
};

}  // namespace strumwright::engine
