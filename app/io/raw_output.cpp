// app/io/raw_output.cpp
#include "app/io/raw_output.h"

#include <cerrno>
#include <memory>
#include <utility>

#include <poll.h>
#include <termios.h>
#include <unistd.h>

#include "app/io/device_error.h"
#include "app/io/source.h"

namespace strumwright::io {

namespace {

constexpr int write_limit_ms = 1000;

/// Waits until the device takes bytes again.
bool takes_more(int fd) {
  pollfd watched{fd, POLLOUT, 0};
  return ::poll(&watched, 1, write_limit_ms) == 1 && (watched.revents & POLLOUT) != 0;
}

}  // namespace

OpenedOutput open_raw_output(std::string_view path) {
  auto device = open_device(std::string(path), midi_baud, Direction::out);
  if (!device) return device.error();
  return {std::make_unique<RawOutput>(std::string(path), std::move(*device))};
}

RawOutput::RawOutput(std::string path, RawDevice device)
    : path_(std::move(path)), device_(std::move(device)) {}

Result<Done> RawOutput::send(std::int64_t /*t_ns*/, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const auto written = ::write(device_.fd.number(), bytes.data(), bytes.size());
    if (written >= 0) {
      bytes = bytes.subspan(static_cast<std::size_t>(written));
    } else if (errno == EAGAIN) {
      if (!takes_more(device_.fd.number())) {
        return Error{"the other end takes no bytes", path_, "see whether something reads there"};
      }
    } else if (errno != EINTR) {
      return device_error(errno, path_);
    }
  }
  return Done{};
}

void RawOutput::flush() {
  if (device_.baud > 0) ::tcdrain(device_.fd.number());
}

}  // namespace strumwright::io
