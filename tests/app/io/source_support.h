// tests/app/io/source_support.h
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "app/io/file_descriptor.h"
#include "app/io/stamped_ring.h"

/// A copy of a ring's item.
struct Got {
  strumwright::io::StampedRing::Kind kind{};
  std::int64_t t_ns = 0;
  std::vector<std::uint8_t> bytes;
  std::string text;
};

/// A ring whose items tests wait for.
class Listener {
 public:
  strumwright::io::StampedRing& ring() { return ring_; }

  /// The next item, waiting up to `limit_ms`; an empty list if none came.
  std::vector<Got> next(int limit_ms = 5000);

  /// Chunks put together until `size` bytes came or time is up. Other items make it stop.
  std::vector<std::uint8_t> bytes(std::size_t size);

 private:
  strumwright::io::Doorbell bell_;
  strumwright::io::StampedRing ring_{bell_};
};

/// The end of a pseudo-terminal that plays the device; `path` is what a program opens.
struct Terminal {
  strumwright::io::FileDescriptor fd;
  std::string path;
};
Terminal open_terminal();

/// A folder of its own, removed with all in it.
class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string file(const char* name) const { return (path_ / name).string(); }

 private:
  std::filesystem::path path_;
};

void write_bytes(const strumwright::io::FileDescriptor& fd, const std::vector<std::uint8_t>& bytes);
