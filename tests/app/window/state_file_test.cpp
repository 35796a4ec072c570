// tests/app/window/state_file_test.cpp
#include "app/window/state_file.h"

#include <fstream>
#include <iterator>

#include <doctest/doctest.h>

using namespace strumwright;

namespace {

std::string read(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("a state file is replaced as a whole and nothing is left beside it") {
  const auto directory = std::filesystem::temp_directory_path() / "strumwright-state-test";
  std::filesystem::create_directories(directory);
  const auto file = directory / "state.json";
  REQUIRE(window::replace_file(file, "{\"area\":\"hear\"}\n"));
  REQUIRE(window::replace_file(file, "{}\n"));
  CHECK(read(file) == "{}\n");
  CHECK(std::distance(std::filesystem::directory_iterator(directory), {}) == 1);
  std::filesystem::remove_all(directory);
}

TEST_CASE("a state file in a place that is not there says where") {
  const auto done = window::replace_file("/no/such/place/state.json", "{}");
  REQUIRE(!done);
  CHECK(done.error().where == "/no/such/place/state.json");
}
