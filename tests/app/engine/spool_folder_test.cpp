// tests/app/engine/spool_folder_test.cpp
#include "app/engine/spool_folder.h"

#include <cstdint>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#include "tests/app/engine/bench_support.h"
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace strumwright;
using namespace strumwright::engine;

namespace {

constexpr std::int64_t second = 1'000'000'000;

session::InputHeader header() {
  session::InputHeader header;
  header.sources = {raw_source()};
  header.started = "2023-11-14T22:13:20Z";
  return header;
}

bool push_note(SpoolFolder& folder, std::int64_t t_ns, std::uint8_t note) {
  session::Entry entry;
  entry.t_ns = t_ns;
  const std::vector<std::uint8_t> bytes{0x90, note, 80};
  entry.bytes = bytes;
  return static_cast<bool>(folder.push(entry)) && static_cast<bool>(folder.write_out(true));
}

std::size_t file_count(const std::filesystem::path& folder) {
  std::size_t count = 0;
  for (const auto& item : std::filesystem::recursive_directory_iterator(folder)) {
    count += item.path().extension() == ".jsonl" ? 1 : 0;
  }
  return count;
}

std::string text_of(const std::filesystem::path& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// Leaves a spool of two segments behind, as a process does that is killed.
void crash_with_a_spool(const std::filesystem::path& data_directory) {
  std::fflush(nullptr);  // else the child may write it once more
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    auto folder = SpoolFolder::create(data_directory, 1'700'000'000, header(), {});
    const bool written = folder && push_note(*folder, 0, 60) && push_note(*folder, 60 * second, 61);
    ::_exit(written ? 0 : 1);  // no destructor runs
  }
  int status = 1;
  REQUIRE(::waitpid(child, &status, 0) == child);
  REQUIRE(status == 0);
}

}  // namespace

TEST_CASE("a segment that is wholly older than 15 minutes is removed from the disk") {
  TestFolder data;
  auto folder = SpoolFolder::create(data.path(), 1'700'000'000, header(), {});
  REQUIRE(folder);
  REQUIRE(push_note(*folder, 0, 60));
  REQUIRE(push_note(*folder, 60 * second, 61));
  REQUIRE(push_note(*folder, 900 * second, 62));
  CHECK(file_count(data.path()) == 3);
  REQUIRE(push_note(*folder, 900 * second + 1, 63));
  CHECK(file_count(data.path()) == 2);
  CHECK(folder->from_ns() == 60 * second);
}

TEST_CASE("a spool in use is not offered, one that a crash left is") {
  TestFolder data;
  CHECK(find_left_spools(data.path()).empty());
  crash_with_a_spool(data.path());
  auto mine = SpoolFolder::create(data.path(), 1'700'000'060, header(), {});
  REQUIRE(mine);
  REQUIRE(push_note(*mine, 0, 70));
  const auto left = find_left_spools(data.path());
  REQUIRE(left.size() == 1);
  CHECK(left[0].started == "2023-11-14T22:13:20Z");
  CHECK(left[0].size_bytes > 100);
  const auto in_use = data.path() / "spool" / ("20231114-221420-" + std::to_string(::getpid()));
  REQUIRE(std::filesystem::exists(in_use));
  CHECK_FALSE(recover_spool(data.path(), in_use));
}

TEST_CASE("a recovered spool is one capture in kept, and no longer left") {
  TestFolder data;
  crash_with_a_spool(data.path());
  const auto left = find_left_spools(data.path());
  REQUIRE(left.size() == 1);
  const auto recovered = recover_spool(data.path(), left[0].folder);
  REQUIRE(recovered);
  CHECK(recovered->remarks.empty());
  CHECK(recovered->file.parent_path() == data.path() / "kept");
  const auto text = text_of(recovered->file);
  CHECK(text.find("{\"t\":0,\"hex\":\"903c50\"}\n{\"t\":60000000000,\"hex\":\"903d50\"}\n") !=
        std::string::npos);
  CHECK(find_left_spools(data.path()).empty());
}

TEST_CASE("a torn or spoiled end of a segment costs that end only") {
  struct Row {
    const char* what;
    std::string tail;
  };
  for (const auto& row : {Row{"torn in a line", "{\"t\":600000"},
                          Row{"zeros after a power cut", std::string(600, '\0')},
                          Row{"zeros and a line feed", std::string(600, '\0') + "\n"}}) {
    CAPTURE(row.what);
    TestFolder data;
    crash_with_a_spool(data.path());
    const auto left = find_left_spools(data.path());
    REQUIRE(left.size() == 1);
    for (const auto& item : std::filesystem::directory_iterator(left[0].folder)) {
      if (item.path().extension() != ".jsonl") continue;
      std::ofstream(item.path(), std::ios::app) << row.tail;
    }
    std::ofstream(left[0].folder / "segment-000003.jsonl");  // no header came to the disk
    const auto recovered = recover_spool(data.path(), left[0].folder);
    REQUIRE(recovered);
    CHECK(recovered->remarks.size() >= 3);
    const auto text = text_of(recovered->file);
    CHECK(text.find("903c50") != std::string::npos);
    CHECK(text.find("903d50") != std::string::npos);
  }
}

TEST_CASE("a discarded spool is gone") {
  TestFolder data;
  crash_with_a_spool(data.path());
  REQUIRE(discard_spool(find_left_spools(data.path())[0].folder));
  CHECK(find_left_spools(data.path()).empty());
}
