// app/io/file_descriptor.cpp
#include "app/io/file_descriptor.h"

#include <array>

#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

namespace strumwright::io {

FileDescriptor& FileDescriptor::operator=(FileDescriptor&& other) noexcept {
  if (this == &other) return *this;
  close();
  number_ = std::exchange(other.number_, -1);
  return *this;
}

void FileDescriptor::close() noexcept {
  if (number_ >= 0) ::close(number_);
  number_ = -1;
}

void fill_closed_standard_descriptors() noexcept {
  for (const int number : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    if (::fcntl(number, F_GETFD) >= 0) continue;
    // The lowest free number is this one. Stays open; opened the wrong way round on purpose.
    static_cast<void>(::open("/dev/null", number == STDIN_FILENO ? O_WRONLY : O_RDONLY));
  }
}

Wake::Wake() {
  std::array<int, 2> ends{-1, -1};
  if (::pipe(ends.data()) != 0) return;  // no descriptor left: the open that follows says so
  reader_ = FileDescriptor(ends[0]);
  writer_ = FileDescriptor(ends[1]);
  for (const int end : ends) ::fcntl(end, F_SETFD, FD_CLOEXEC);
}

void Wake::call() noexcept {
  const std::uint8_t byte = 1;
  // One byte is enough: it is never read, so the pipe stays readable.
  [[maybe_unused]] const auto written = ::write(writer_.number(), &byte, 1);
}

Wake::Ready Wake::wait(int fd, int limit_ms) const noexcept {
  std::array<pollfd, 2> watched{pollfd{reader_.number(), POLLIN, 0}, pollfd{fd, POLLIN, 0}};
  if (::poll(watched.data(), watched.size(), limit_ms) <= 0) return Ready::time;
  if (watched[0].revents != 0) return Ready::called;
  return (watched[1].revents & POLLIN) != 0 ? Ready::input : Ready::hang_up;
}

}  // namespace strumwright::io
