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

#include "app/engine/capture_file.h"

using namespace strumwright;
using namespace strumwright::engine;

namespace {

constexpr std::int64_t second = 1'000'000'000;

void write_segment(const std::filesystem::path& path, std::int64_t t_ns, std::uint8_t note) {
  session::InputHeader header;
  header.sources = {raw_source()};
  header.started = "2026-01-31T18:00:00Z";
  auto file = CaptureFile::create(path, header, 0);
  REQUIRE(file);
  session::Entry entry;
  entry.t_ns = t_ns;
  const std::vector<std::uint8_t> bytes{0x90, note, 80};
  entry.bytes = bytes;
  file->add(entry);
  REQUIRE(file->close());
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
    auto folder = SpoolFolder::create(data_directory, 1'700'000'000);
    if (!folder) ::_exit(1);
    write_segment(folder->add_segment(0), 0, 60);
    write_segment(folder->add_segment(60 * second), 60 * second, 61);
    ::_exit(0);  // no destructor runs
  }
  int status = 1;
  REQUIRE(::waitpid(child, &status, 0) == child);
  REQUIRE(status == 0);
}

}  // namespace

TEST_CASE("labels become words that are safe in a file name") {
  struct Row {
    const char* label;
    const char* word;
  };
  for (const auto& row : {Row{"", ""}, Row{"that one", "that-one"}, Row{"../../etc", "etc"},
                          Row{"E♭ hangs!", "E-hangs"}, Row{"--x--", "x"},
                          Row{"0123456789012345678901234567890123456789end",
                              "0123456789012345678901234567890123456789"}}) {
    CHECK(file_word(row.label) == row.word);
  }
}

TEST_CASE("segments go when all of them is older than the time asked for, not before") {
  TestFolder data;
  auto folder = SpoolFolder::create(data.path(), 1'700'000'000);
  REQUIRE(folder);
  for (int i = 0; i < 3; ++i) {
    write_segment(folder->add_segment(i * 60 * second), i * 60 * second, 60);
  }
  folder->drop_before(60 * second - 1);
  CHECK(folder->segments().size() == 3);
  folder->drop_before(60 * second);
  CHECK(folder->segments().size() == 2);
  CHECK(folder->from_ns(0) == 60 * second);
  CHECK(std::filesystem::exists(folder->segments()[0]));
  folder->drop_before(900 * second);
  CHECK(folder->segments().size() == 1);  // the newest always stays
}

TEST_CASE("a spool in use is not offered, one that a crash left is") {
  TestFolder data;
  CHECK(find_left_spools(data.path()).empty());
  crash_with_a_spool(data.path());
  auto mine = SpoolFolder::create(data.path(), 1'700'000'060);
  REQUIRE(mine);
  write_segment(mine->add_segment(0), 0, 70);
  const auto left = find_left_spools(data.path());
  REQUIRE(left.size() == 1);
  CHECK(left[0].started == "2023-11-14T22:13:20Z");
  CHECK(left[0].size_bytes > 100);
  CHECK_FALSE(recover_spool(data.path(), mine->segments()[0].parent_path()));
}

TEST_CASE("a recovered spool is one capture in kept, and no longer left") {
  TestFolder data;
  crash_with_a_spool(data.path());
  const auto left = find_left_spools(data.path());
  REQUIRE(left.size() == 1);
  const auto capture = recover_spool(data.path(), left[0].folder);
  REQUIRE(capture);
  CHECK(capture->parent_path() == data.path() / "kept");
  const auto text = text_of(*capture);
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
    std::ofstream(left[0].folder / "9999999999999999999.jsonl");  // no header came to the disk
    const auto capture = recover_spool(data.path(), left[0].folder);
    REQUIRE(capture);
    const auto text = text_of(*capture);
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
