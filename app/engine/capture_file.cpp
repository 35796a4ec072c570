// app/engine/capture_file.cpp
#include "app/engine/capture_file.h"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <unistd.h>

#include "core/session/capture_writer.h"

namespace strumwright::engine {

namespace {

Error failure(const char* doing, const std::filesystem::path& path, int code) {
  const char* remedy =
      code == ENOSPC ? "make room on the disk" : "choose a place that can be written to";
  const std::string why = code == ENOSPC ? "the disk is full" : std::strerror(code);
  return {std::string("cannot ") + doing + ", " + why, path.string(), remedy};
}

}  // namespace

Result<CaptureFile> CaptureFile::create(std::filesystem::path path,
                                        const session::InputHeader& header, std::int64_t zero_ns) {
  std::error_code code;
  if (path.has_parent_path()) std::filesystem::create_directories(path.parent_path(), code);
  if (code) return failure("make the folder", path.parent_path(), code.value());
  const int descriptor = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
  if (descriptor < 0) return failure("write", path, errno);
  CaptureFile file(std::move(path), descriptor, zero_ns);
  file.text_ = session::header_line(header);
  return file;
}

CaptureFile::CaptureFile(std::filesystem::path path, int descriptor, std::int64_t zero_ns)
    : path_(std::move(path)), descriptor_(descriptor), zero_ns_(zero_ns) {}

CaptureFile::CaptureFile(CaptureFile&& other) noexcept
    : path_(std::move(other.path_)),
      descriptor_(std::exchange(other.descriptor_, -1)),
      zero_ns_(other.zero_ns_),
      text_(std::move(other.text_)) {}

CaptureFile& CaptureFile::operator=(CaptureFile&& other) noexcept {
  std::swap(path_, other.path_);
  std::swap(descriptor_, other.descriptor_);
  std::swap(zero_ns_, other.zero_ns_);
  std::swap(text_, other.text_);
  return *this;
}

CaptureFile::~CaptureFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

void CaptureFile::add(const session::Entry& entry) {
  session::Entry shifted = entry;
  shifted.t_ns = std::max<std::int64_t>(0, entry.t_ns - zero_ns_);
  session::append_line(shifted, text_);
}

Result<Done> CaptureFile::write_out() {
  std::size_t done = 0;
  while (done < text_.size()) {
    const ssize_t wrote = ::write(descriptor_, text_.data() + done, text_.size() - done);
    if (wrote >= 0) {
      done += static_cast<std::size_t>(wrote);
    } else if (errno != EINTR) {
      return failure("write", path_, errno);
    }
  }
  text_.clear();
  return Done{};
}

Result<Done> CaptureFile::sync() {
  // A pipe or a device cannot be synced, which is no loss.
  if (::fsync(descriptor_) == 0 || errno == EINVAL || errno == EROFS) return Done{};
  return failure("write", path_, errno);
}

Result<Done> CaptureFile::close() {
  if (auto wrote = write_out(); !wrote) return wrote;
  if (auto synced = sync(); !synced) return synced;
  if (::close(std::exchange(descriptor_, -1)) != 0) return failure("write", path_, errno);
  return Done{};
}

}  // namespace strumwright::engine
