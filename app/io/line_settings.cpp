// app/io/line_settings.cpp
#include "app/io/line_settings.h"

#include <cerrno>
#include <system_error>

// The kernel's own terminal header: the C library's has no arbitrary rates, and the two
// cannot be included together.
#if defined(__linux__)
#include <asm/termbits.h>
#include <sys/ioctl.h>
#endif

namespace strumwright::io {

#if defined(__linux__)

namespace {

Error refused(const char* step) {
  return {std::string(step) + ": " + std::generic_category().message(errno), "",
          "try another rate, or another adapter"};
}

}  // namespace

Result<int> set_raw_line(int fd, int baud) {
  termios2 line{};
  if (::ioctl(fd, TCGETS2, &line) != 0) return refused("the line's settings cannot be read");
  line.c_iflag = IGNBRK;
  line.c_oflag = 0;
  line.c_lflag = 0;
  line.c_cflag &=
      ~static_cast<tcflag_t>(CBAUD | CBAUD << IBSHIFT | CSIZE | PARENB | CSTOPB | CRTSCTS);
  line.c_cflag |= BOTHER | BOTHER << IBSHIFT | CS8 | CREAD | CLOCAL;
  line.c_ispeed = static_cast<speed_t>(baud);
  line.c_ospeed = static_cast<speed_t>(baud);
  line.c_cc[VMIN] = 1;
  line.c_cc[VTIME] = 0;
  if (::ioctl(fd, TCSETS2, &line) != 0) return refused("the line refuses its settings");
  if (::ioctl(fd, TCGETS2, &line) != 0) return refused("the line's rate cannot be read back");
  return static_cast<int>(line.c_ospeed);
}

#else

Result<int> set_raw_line(int /*fd*/, int /*baud*/) {
  return Error{"serial lines are read on Linux only so far", "", "use a MIDI port"};
}

#endif

}  // namespace strumwright::io
