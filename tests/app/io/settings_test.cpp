// tests/app/io/settings_test.cpp
#include "app/io/settings.h"

#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <unistd.h>

using namespace strumwright;
namespace fs = std::filesystem;

TEST_CASE("settings come back as they were written") {
  const auto folder = fs::temp_directory_path() / ("strumwright-set-" + std::to_string(getpid()));
  const auto file = folder / "below" / "settings.json";
  CHECK(io::read_settings(file)->area == "hear");  // none yet: defaults
  REQUIRE(io::write_settings(file, {"wire", 150, true, "port:harp \"x\"\xFF", false}));
  const auto read = io::read_settings(file);
  REQUIRE(read);
  CHECK(read->area == "wire");
  CHECK(read->scale_percent == 150);
  CHECK(read->light);
  CHECK(read->source.starts_with("port:harp \"x\""));
  CHECK_FALSE(read->spool);

  std::ofstream(file) << R"({"area":7,"scale_percent":"big","light":true})";
  CHECK(io::read_settings(file)->area == "hear");  // of the wrong type: the default stays
  CHECK(io::read_settings(file)->light);
  for (const char* torn : {"", "{\"area\":\"wi", "[]", "\x00\x01"}) {
    std::ofstream(file) << torn;
    CHECK_FALSE(io::read_settings(file));
  }
  fs::remove_all(folder);
}
