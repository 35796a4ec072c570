// tests/app/io/wakeable_input_test.cpp
#include "app/io/wakeable_input.h"

#include <chrono>
#include <istream>
#include <iterator>
#include <string>
#include <thread>

#include <doctest/doctest.h>
#include <fcntl.h>
#include <unistd.h>

using namespace strumwright::io;

namespace {

struct Pipe {
  FileDescriptor reader;
  FileDescriptor writer;
  Pipe() {
    int ends[2] = {-1, -1};
    REQUIRE(::pipe2(ends, O_CLOEXEC) == 0);
    reader = FileDescriptor(ends[0]);
    writer = FileDescriptor(ends[1]);
  }
};

std::string all_of(std::istream& stream) {
  std::string text(200'000, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(stream.gcount()));
  return text;
}

}  // namespace

TEST_CASE("what a pipe carries is read to its end") {
  Pipe pipe;
  const Wake wake;
  WakeableInput input(pipe.reader.number(), wake);
  std::istream stream(&input);
  const std::string sent = std::string(30'000, 'a') + std::string(1, '\xFF') + "end";
  REQUIRE(::write(pipe.writer.number(), sent.data(), sent.size()) ==
          static_cast<ssize_t>(sent.size()));
  pipe.writer.close();
  CHECK(all_of(stream) == sent);
  CHECK(stream.eof());
  CHECK_FALSE(stream.bad());
}

TEST_CASE("a silent pipe ends when somebody calls, after what it had carried") {
  Pipe pipe;
  Wake wake;
  WakeableInput input(pipe.reader.number(), wake);
  std::istream stream(&input);
  REQUIRE(::write(pipe.writer.number(), "abc", 3) == 3);
  std::thread caller([&] {
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
    wake.call();
  });
  CHECK(all_of(stream) == "abc");
  CHECK(stream.eof());
  CHECK_FALSE(stream.bad());
  caller.join();
}

TEST_CASE("a descriptor that cannot be read makes the stream bad") {
  const Wake wake;
  const FileDescriptor folder(::open("/", O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  for (const int number : {folder.number(), 1'000'000}) {
    WakeableInput input(number, wake);
    std::istream stream(&input);
    CHECK(all_of(stream).empty());
    CHECK(stream.bad());
  }
}
