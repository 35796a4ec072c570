// app/engine/disk_file.cpp
#include "app/engine/disk_file.h"

#include <cerrno>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <unistd.h>

namespace strumwright::engine {

namespace {

Error failure(const char* doing, const std::filesystem::path& path, int code) {
  const bool full = code == ENOSPC;
  const auto why = full ? "the disk is full" : std::generic_category().message(code);
  return {std::string("cannot ") + doing + ", " + why, path.string(),
          full ? "make room on the disk" : "choose a place that can be written to"};
}

}  // namespace

Result<DiskFile> DiskFile::create(std::filesystem::path path) {
  std::error_code code;
  if (path.has_parent_path()) std::filesystem::create_directories(path.parent_path(), code);
  if (code) return failure("make the folder", path.parent_path(), code.value());
  io::FileDescriptor file(::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600));
  if (!file) return failure("write", path, errno);
  return DiskFile(std::move(path), std::move(file));
}

DiskFile::DiskFile(std::filesystem::path path, io::FileDescriptor file)
    : path_(std::move(path)), file_(std::move(file)) {}

Result<Done> DiskFile::write_out() {
  std::size_t done = 0;
  while (done < text_.size()) {
    const ssize_t wrote = ::write(file_.number(), text_.data() + done, text_.size() - done);
    if (wrote >= 0) {
      done += static_cast<std::size_t>(wrote);
    } else if (errno != EINTR) {
      const auto error = failure("write", path_, errno);
      text_.erase(0, done);
      return error;
    }
  }
  text_.clear();
  return Done{};
}

Result<Done> DiskFile::sync() {
  // A pipe or a device cannot be synced, which is no loss.
  if (::fsync(file_.number()) == 0 || errno == EINVAL || errno == EROFS) return Done{};
  return failure("write", path_, errno);
}

Result<Done> DiskFile::close() {
  if (auto wrote = write_out(); !wrote) return wrote;
  if (auto synced = sync(); !synced) return synced;
  file_.close();
  return Done{};
}

void DiskFile::tear() {
  const auto end = ::lseek(file_.number(), 0, SEEK_END);
  constexpr off_t brace_and_line_feed = 2;
  // If even this fails, the line is torn by the failed write in nearly every case.
  if (end > brace_and_line_feed) {
    [[maybe_unused]] const int cut = ::ftruncate(file_.number(), end - brace_and_line_feed);
  }
}

}  // namespace strumwright::engine
