// tests/app/io/raw_output_test.cpp
#include "app/io/raw_output.h"

#include <csignal>

#include "tests/app/io/source_support.h"
#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/io/sender.h"

using namespace strumwright::io;
using Bytes = std::vector<std::uint8_t>;

TEST_CASE("a raw output writes every byte value unchanged") {
  const auto device = open_terminal();
  auto output = open_raw_output(device.path);
  REQUIRE(output);
  Bytes all(256);
  for (std::size_t i = 0; i < all.size(); ++i) all[i] = static_cast<std::uint8_t>(i);
  REQUIRE((*output)->send(0, all));
  (*output)->flush();
  Bytes got(all.size());
  std::size_t have = 0;
  while (have < got.size()) {
    const auto read = ::read(device.fd.number(), got.data() + have, got.size() - have);
    REQUIRE(read > 0);
    have += static_cast<std::size_t>(read);
  }
  CHECK(got == all);
}

TEST_CASE("a FIFO that nobody reads is refused, one whose reader goes is an error, not a signal") {
  const Folder folder;
  const auto path = folder.file("fifo");
  REQUIRE(::mkfifo(path.c_str(), 0600) == 0);
  const auto refused = open_raw_output(path);
  REQUIRE_FALSE(refused);
  CHECK(refused.error().what == "nobody reads there");

  FileDescriptor reader(::open(path.c_str(), O_RDONLY | O_NONBLOCK));
  auto output = open_raw_output(path);
  REQUIRE(output);
  Sender sender(std::move(*output));
  sender.send(Bytes{0x90, 60, 100, 64, 100});
  sender.drain();
  Bytes got(16);
  CHECK(::read(reader.number(), got.data(), got.size()) == 5);
  reader.close();
  sender.send(Bytes{0xF8});
  sender.drain();
  CHECK(sender.take_error() == path + ": nobody reads there");
}
