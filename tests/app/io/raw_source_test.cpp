// tests/app/io/raw_source_test.cpp
#include "app/io/raw_source.h"

#include <cstring>
#include <fstream>

#include "tests/app/io/source_support.h"
#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include "app/io/clock.h"

using namespace strumwright;
using namespace strumwright::io;
using Kind = StampedRing::Kind;
using Bytes = std::vector<std::uint8_t>;

namespace {

FileDescriptor writer_of(const std::string& fifo) {
  return FileDescriptor(::open(fifo.c_str(), O_WRONLY | O_CLOEXEC));
}

}  // namespace

TEST_CASE("a pseudo-terminal passes every byte value unchanged and in order") {
  const auto device = open_terminal();
  Listener listener;  // outlives the source
  auto source = open_raw(device.path);
  REQUIRE(source);
  REQUIRE((*source)->start(listener.ring()));
  Bytes all(256);
  for (std::size_t i = 0; i < all.size(); ++i) all[i] = static_cast<std::uint8_t>(i);
  write_bytes(device.fd, all);
  CHECK(listener.bytes(all.size()) == all);
}

TEST_CASE("the rate of a line is set, read back and said") {
  struct Row {
    int baud;
    const char* says;
    std::int64_t byte_ns;
  };
  const Row rows[] = {{31'250, "at 31,250 baud", 320'000}, {115'200, "at 115,200 baud", 86'805}};
  for (const auto& row : rows) {
    const auto device = open_terminal();
    auto source = open_serial(device.path, row.baud);
    REQUIRE(source);
    CHECK((*source)->detail().find(row.says) != std::string::npos);
    CHECK((*source)->info().raw);
    CHECK((*source)->info().timing == wire::Grade::byte);
    CHECK((*source)->info().resolution_ns == row.byte_ns);
  }
}

TEST_CASE("rates that no line has are refused") {
  const auto device = open_terminal();
  CHECK_FALSE(open_serial(device.path, 49));
  CHECK(open_serial(device.path, 50));
  CHECK(open_serial(device.path, 4'000'000));
  CHECK_FALSE(open_serial(device.path, 4'000'001));
}

TEST_CASE("bytes are stamped their wire time before the read") {
  const auto device = open_terminal();
  Listener listener;  // outlives the source
  auto source = open_raw(device.path);
  REQUIRE(source);
  REQUIRE((*source)->start(listener.ring()));
  const auto sent_ns = now_ns();
  write_bytes(device.fd, {0x90, 0x3C, 0x64});
  const auto got = listener.next();
  const auto received_ns = now_ns();
  REQUIRE(got.size() == 1);
  REQUIRE(got[0].bytes.size() == 3);
  CHECK(got[0].t_ns >= sent_ns - 3 * 320'000);
  CHECK(got[0].t_ns <= received_ns - 3 * 320'000);
}

TEST_CASE("a device that hangs up is gone, and back when its name can be opened again") {
  const Folder folder;
  const auto link = folder.file("controller");
  auto device = open_terminal();
  REQUIRE(::symlink(device.path.c_str(), link.c_str()) == 0);
  Listener listener;  // outlives the source
  auto source = open_serial(link, midi_baud);
  REQUIRE(source);
  REQUIRE((*source)->start(listener.ring()));
  write_bytes(device.fd, {0x90});
  CHECK(listener.bytes(1) == Bytes{0x90});

  REQUIRE(::unlink(link.c_str()) == 0);
  device.fd.close();
  auto got = listener.next();
  REQUIRE(got.size() == 1);
  CHECK(got[0].kind == Kind::gone);

  const auto again = open_terminal();
  REQUIRE(::symlink(again.path.c_str(), link.c_str()) == 0);
  got = listener.next();
  REQUIRE(got.size() == 1);
  CHECK(got[0].kind == Kind::back);
  write_bytes(again.fd, {0x80});
  CHECK(listener.bytes(1) == Bytes{0x80});
}

TEST_CASE("a FIFO is waited for, gone with its last writer and back with the next") {
  const Folder folder;
  const auto path = folder.file("fifo");
  REQUIRE(::mkfifo(path.c_str(), 0600) == 0);
  Listener listener;  // outlives the source
  auto source = open_raw(path);
  REQUIRE(source);
  REQUIRE((*source)->start(listener.ring()));
  CHECK(listener.next(300).empty());

  auto writer = writer_of(path);
  write_bytes(writer, {0x90, 0x3C, 0x64});
  CHECK(listener.bytes(3) == Bytes{0x90, 0x3C, 0x64});
  writer.close();
  auto got = listener.next();
  REQUIRE(got.size() == 1);
  CHECK(got[0].kind == Kind::gone);
  CHECK(listener.next(300).empty());

  SUBCASE("a writer that says nothing is seen too") {
    writer = writer_of(path);
    got = listener.next();
    REQUIRE(got.size() == 1);
    CHECK(got[0].kind == Kind::back);
  }
  SUBCASE("bytes of a writer that closes at once come whole, between back and gone") {
    writer = writer_of(path);
    write_bytes(writer, {0xF8});
    writer.close();
    got = listener.next();
    REQUIRE(got.size() == 1);
    CHECK(got[0].kind == Kind::back);
    CHECK(listener.bytes(1) == Bytes{0xF8});
    got = listener.next();
    REQUIRE(got.size() == 1);
    CHECK(got[0].kind == Kind::gone);
  }
}

TEST_CASE("what is no device is refused with a sentence and a remedy") {
  const Folder folder;
  const auto file = folder.file("recording.bin");
  std::ofstream(file) << "x";
  const auto socket_path = folder.file("socket");
  const FileDescriptor socket(::socket(AF_UNIX, SOCK_STREAM, 0));
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  std::strncpy(address.sun_path, socket_path.c_str(), sizeof address.sun_path - 1);
  REQUIRE(::bind(socket.number(), reinterpret_cast<sockaddr*>(&address), sizeof address) == 0);
  const auto fifo = folder.file("fifo");
  REQUIRE(::mkfifo(fifo.c_str(), 0600) == 0);
  struct Row {
    OpenedSource opened;
    const char* what;
  };
  const Row rows[] = {
      {open_raw(file), "this is a file, not a device"},
      {open_raw(folder.file("")), "this is a folder, not a device"},
      {open_raw(socket_path), "this is no device, pseudo-terminal or FIFO"},
      {open_raw(folder.file("missing")), "there is no such device"},
      {open_raw("/dev/zero"), "no controller can be behind this"},
      {open_serial(fifo, midi_baud), "this is no serial line"},
  };
  for (const auto& row : rows) {
    REQUIRE_FALSE(row.opened);
    CHECK(row.opened.error().what == row.what);
    CHECK_FALSE(row.opened.error().remedy.empty());
  }
}

TEST_CASE("a source that waits stops at once") {
  const auto device = open_terminal();
  Listener listener;  // outlives the source
  auto source = open_raw(device.path);
  REQUIRE(source);
  REQUIRE((*source)->start(listener.ring()));
  const auto start_ns = now_ns();
  (*source)->stop();
  CHECK(now_ns() - start_ns < 900'000'000);
  CHECK(listener.next(0).empty());
}
