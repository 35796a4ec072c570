// tests/app/io/device_error_test.cpp
#include "app/io/device_error.h"

#include <cerrno>

#include <doctest/doctest.h>

using namespace strumwright;

TEST_CASE("each way in which a device refuses has its sentence and its remedy") {
  struct Row {
    int number;
    const char* what;
    const char* remedy_has;
  };
  const Row rows[] = {
      {ENOENT, "there is no such device", "strumwright ports"},
      {EACCES, "you may not open this device", "usermod -aG"},
      {EPERM, "you may not open this device", "usermod -aG"},
      {EBUSY, "another program holds this device", "ModemManager"},
      {ENXIO, "nothing answers at this device", "plug it in again"},
      {EMFILE, "Too many open files", "driver"},
  };
  for (const auto& row : rows) {
    const Error error = io::device_error(row.number, "/dev/ttyNONE");
    CHECK(error.what == row.what);
    CHECK(error.where == "/dev/ttyNONE");
    CHECK(error.remedy.find(row.remedy_has) != std::string::npos);
  }
}

TEST_CASE("nobody is told to join the group root") {
  const Error error = io::device_error(EACCES, "/dev/null");  // root's, everywhere
  CHECK(error.remedy.find("root: give yourself access") != std::string::npos);
}

TEST_CASE("numbers are grouped by thousands") {
  CHECK(io::grouped(0) == "0");
  CHECK(io::grouped(999) == "999");
  CHECK(io::grouped(1000) == "1,000");
  CHECK(io::grouped(31250) == "31,250");
  CHECK(io::grouped(4000000) == "4,000,000");
  CHECK(io::grouped(-999) == "-999");
  CHECK(io::grouped(-1000) == "-1,000");
}
