// tests/app/io/files_test.cpp
#include "app/io/files.h"

#include <array>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include <doctest/doctest.h>
#include <unistd.h>

using namespace strumwright;
namespace fs = std::filesystem;

namespace {

std::span<const std::uint8_t> bytes_of(const std::string& text) {
  return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

std::string content(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

struct Folder {
  fs::path path = fs::temp_directory_path() / ("strumwright-files-" + std::to_string(getpid()));
  Folder() { fs::create_directories(path); }
  ~Folder() { fs::remove_all(path); }
};

}  // namespace

TEST_CASE("a store gives back all it took, little or much") {
  for (const std::size_t pieces : {0U, 3U, 300'000U}) {
    CAPTURE(pieces);
    io::TempStore store;
    std::string expected;
    for (std::size_t i = 0; i < pieces; ++i) {
      const std::string piece = std::to_string(i) + "\n";
      expected += piece;
      REQUIRE(store.append(piece));
    }
    std::ostringstream out;
    io::StreamSink sink(out, "test");
    REQUIRE(store.copy_to(sink));
    CHECK((out.str() == expected));
  }
}

TEST_CASE("a file is replaced only when it was written whole") {
  const Folder folder;
  const auto path = folder.path / "file";
  std::ofstream(path) << "old";
  {
    auto sink = io::FileSink::create(path.string());
    REQUIRE(sink);
    REQUIRE((*sink)->write(bytes_of("half")));
  }
  CHECK(content(path) == "old");
  auto sink = io::FileSink::create(path.string());
  REQUIRE(sink);
  REQUIRE((*sink)->write(bytes_of("new")));
  REQUIRE((*sink)->close());
  CHECK(content(path) == "new");
  CHECK(std::distance(fs::directory_iterator(folder.path), fs::directory_iterator()) == 1);
}

TEST_CASE("a stream that fails is no stream that ended") {
  std::ifstream folder("/");
  std::array<std::uint8_t, 16> space{};
  const auto failed = io::StreamSource(folder).read(space);
  REQUIRE_FALSE(failed);
  CHECK(failed.error().where == "stdin");
  std::istringstream short_text("abc");
  io::StreamSource source(short_text);
  CHECK(*source.read(space) == 3);
  CHECK(*source.read(space) == 0);
}

TEST_CASE("what cannot be opened or written is said with its name") {
  const Folder folder;
  const auto directory = io::FileSource::open(folder.path.string());
  REQUIRE_FALSE(directory);
  CHECK(directory.error().what.find("directory") != std::string::npos);
  CHECK_FALSE(io::FileSource::open((folder.path / "missing").string()));
  CHECK_FALSE(io::FileSink::create((folder.path / "no" / "file").string()));

  auto full = io::FileSink::create("/dev/full");
  REQUIRE(full);
  REQUIRE((*full)->write(bytes_of("x")));  // still in the buffer
  const auto closed = (*full)->close();
  REQUIRE_FALSE(closed);
  CHECK(closed.error().where == "/dev/full");
}
