// app/io/device_error.cpp
#include "app/io/device_error.h"

#include <cerrno>
#include <system_error>

#include <grp.h>
#include <sys/stat.h>

namespace strumwright::io {

namespace {

std::string how_to_be_allowed(const std::string& path) {
  struct stat state {};
  const group* owner = nullptr;
  if (::stat(path.c_str(), &state) == 0) {
    owner = ::getgrgid(state.st_gid);  // NOLINT(concurrency-mt-unsafe): a name only
  }
  const std::string name = owner == nullptr ? "dialout" : owner->gr_name;
  if (name == "root") return "it belongs to root: give yourself access by a udev rule";
  return "join its group: sudo usermod -aG " + name + " $USER, then log in again";
}

}  // namespace

Error device_error(int number, const std::string& path) {
  switch (number) {
    case ENOENT:
      return {"there is no such device", path,
              "plug it in; `strumwright ports` lists what is there"};
    case EACCES:
    case EPERM:
      return {"you may not open this device", path, how_to_be_allowed(path)};
    case EBUSY:
      return {"another program holds this device", path,
              "end that program; on serial lines it is often ModemManager: sudo systemctl stop "
              "ModemManager"};
    case EPIPE:
      return {"nobody reads there", path, "start the reader first"};
    case ENXIO:
    case ENODEV:
    case EIO:
      return {"nothing answers at this device", path, "unplug it and plug it in again"};
    default:
      return {std::generic_category().message(number), path, "look at the device and its driver"};
  }
}

std::string grouped(long value) {
  std::string text = std::to_string(value);
  const std::size_t first = value < 0 ? 1 : 0;
  for (std::size_t at = text.size(); at > first + 3;) {
    at -= 3;
    text.insert(at, 1, ',');
  }
  return text;
}

}  // namespace strumwright::io
