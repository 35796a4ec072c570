// app/io/file_descriptor.h
#pragma once

#include <cstdint>
#include <utility>

namespace strumwright::io {

/// Owns a POSIX file descriptor.
class FileDescriptor {
 public:
  FileDescriptor() = default;
  explicit FileDescriptor(int number) : number_(number) {}
  FileDescriptor(FileDescriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
  FileDescriptor& operator=(FileDescriptor&& other) noexcept;
  ~FileDescriptor() { close(); }

  void close() noexcept;
  [[nodiscard]] int number() const { return number_; }
  explicit operator bool() const { return number_ >= 0; }

 private:
  int number_ = -1;
};

/// Puts something that fails where stdin, stdout or stderr is closed, so that no file of ours takes
/// its number and with it what is meant for the other. Call it before anything is opened.
void fill_closed_standard_descriptors() noexcept;

/// Ends the wait of one reader from another thread.
class Wake {
 public:
  Wake();

  /// Any thread: from now on every wait ends at once.
  void call() noexcept;

  enum class Ready : std::uint8_t { time, input, hang_up, called };

  /// Waits until `fd` (-1: none) has input or hung up, `call` was called, or `limit_ms` passed
  /// (below 0: no limit). Input goes before a hang-up: what was sent before it is still read.
  [[nodiscard]] Ready wait(int fd, int limit_ms) const noexcept;

 private:
  FileDescriptor reader_;
  FileDescriptor writer_;
};

}  // namespace strumwright::io
