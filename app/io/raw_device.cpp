// app/io/raw_device.cpp
#include "app/io/raw_device.h"

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <utility>

#include <fcntl.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <unistd.h>

#include "app/io/device_error.h"
#include "app/io/line_settings.h"

namespace strumwright::io {

namespace {

namespace fs = std::filesystem;

std::string real_name(const std::string& path) {
  std::error_code ignored;
  const auto real = fs::canonical(path, ignored);
  return (ignored ? fs::path(path) : real).filename().string();
}

bool is_usb_midi(const std::string& path) {
  std::error_code missing;
  const auto device = fs::canonical("/sys/class/sound/" + real_name(path) + "/device", missing);
  return !missing && device.string().find("/usb") != std::string::npos;
}

bool is_pseudo_terminal(const struct stat& state) {
  // Source: Linux Documentation/admin-guide/devices.txt, 136-143 char Unix98 PTY slaves.
  return major(state.st_rdev) >= 136 && major(state.st_rdev) <= 143;
}

bool is_memory(const struct stat& state) {
  // Source: Linux Documentation/admin-guide/devices.txt, 1 char: null, zero, random and alike.
  return S_ISCHR(state.st_mode) && major(state.st_rdev) == 1;
}

Result<Done> check_kind(const struct stat& state, const std::string& path) {
  if (S_ISREG(state.st_mode)) {
    return Error{"this is a file, not a device", path,
                 "read a recording with `strumwright audit " + path + "`"};
  }
  if (is_memory(state)) {
    return Error{"no controller can be behind this", path,
                 "`strumwright ports` lists what can be opened"};
  }
  if (S_ISCHR(state.st_mode) || S_ISFIFO(state.st_mode)) return Done{};
  return Error{S_ISDIR(state.st_mode) ? "this is a folder, not a device"
                                      : "this is no device, pseudo-terminal or FIFO",
               path, "`strumwright ports` lists what can be opened"};
}

Result<Done> set_up_terminal(RawDevice& device, const struct stat& state, const std::string& path,
                             int baud) {
  device.kind = is_pseudo_terminal(state) ? DeviceKind::pseudo_terminal : DeviceKind::serial;
  const auto actual = set_raw_line(device.fd.number(), baud);
  if (!actual) return Error{actual.error().what, path, actual.error().remedy};
  device.baud = *actual;
  // Two readers of one line steal each other's bytes in silence.
  if (device.kind == DeviceKind::serial) ::ioctl(device.fd.number(), TIOCEXCL);
  return Done{};
}

}  // namespace

Result<RawDevice> open_device(const std::string& path, int baud, Direction direction) {
  struct stat state {};
  if (::stat(path.c_str(), &state) != 0) return device_error(errno, path);
  if (const auto kind = check_kind(state, path); !kind) return kind.error();
  const int mode = direction == Direction::in ? O_RDONLY : O_WRONLY;
  RawDevice device;
  device.fd = FileDescriptor(::open(path.c_str(), mode | O_NOCTTY | O_NONBLOCK | O_CLOEXEC));
  if (!device.fd && errno == ENXIO && S_ISFIFO(state.st_mode)) return device_error(EPIPE, path);
  if (!device.fd) return device_error(errno, path);
  if (S_ISFIFO(state.st_mode)) {
    device.kind = DeviceKind::fifo;
  } else if (::isatty(device.fd.number()) == 1) {
    const auto done = set_up_terminal(device, state, path, baud);
    if (!done) return done.error();
  } else {
    device.by_usb = is_usb_midi(path);
  }
  return device;
}

int adapter_hold_ms(const std::string& path) {
  std::ifstream file("/sys/bus/usb-serial/devices/" + real_name(path) + "/latency_timer");
  int hold_ms = 0;
  return file >> hold_ms ? hold_ms : 0;
}

}  // namespace strumwright::io
