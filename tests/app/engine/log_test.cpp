// tests/app/engine/log_test.cpp
#include "app/engine/log.h"

#include <fstream>
#include <iterator>
#include <string>

#include "tests/app/engine/bench_support.h"
#include <doctest/doctest.h>

using namespace strumwright::engine;

namespace {

std::string text_of(const std::filesystem::path& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("lines stand in the log with their level, braces and all") {
  TestFolder folder;
  const auto file = folder.path() / "log.txt";
  {
    Log log(file);
    log.info("opened {H-02}");
    log.warning("lost 3 bytes");
  }
  const auto text = text_of(file);
  CHECK(text.find(" info opened {H-02}\n") != std::string::npos);
  CHECK(text.find(" warning lost 3 bytes\n") != std::string::npos);
}

TEST_CASE("the log never takes more than three files of 1 MB") {
  TestFolder folder;
  {
    Log log(folder.path() / "log.txt");
    const std::string line(1000, 'x');
    for (int i = 0; i < 5000; ++i) log.info(line);
  }
  std::size_t files = 0;
  std::uintmax_t bytes = 0;
  for (const auto& item : std::filesystem::directory_iterator(folder.path())) {
    ++files;
    bytes += item.file_size();
  }
  CHECK(files == 3);
  CHECK(bytes <= 3U << 20U);
}

TEST_CASE("a log that cannot be written is silent") {
  TestFolder folder;
  std::ofstream(folder.path() / "file") << "x";
  Log nowhere(folder.path() / "file" / "log.txt");
  nowhere.info("x");
  Log none({});
  none.warning("x");
  CHECK(text_of(folder.path() / "file") == "x");
}
