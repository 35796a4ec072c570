// tests/app/engine/recorder_test.cpp
#include "app/engine/recorder.h"

#include <csignal>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "tests/app/engine/bench_support.h"
#include <doctest/doctest.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include "app/engine/stamp.h"

using namespace strumwright;
using namespace strumwright::engine;

namespace {

constexpr std::int64_t second = 1'000'000'000;

RecorderSetup setup_in(const std::filesystem::path& folder) {
  RecorderSetup setup;
  setup.header.sources = {raw_source()};
  setup.header.started = iso_stamp(1'700'000'000);
  setup.unix_start_seconds = 1'700'000'000;
  setup.data_directory = folder;
  return setup;
}

void give(Recorder& recorder, std::int64_t t_ns, std::vector<std::uint8_t> bytes) {
  session::Entry entry;
  entry.t_ns = t_ns;
  entry.bytes = bytes;
  EntryLog log;
  log.append(entry);
  recorder.take(log);
}

std::string text_of(const std::filesystem::path& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<Notice> wait_for_notice(Recorder& recorder) {
  std::vector<Notice> all;
  REQUIRE(wait_until([&] {
    for (auto& notice : recorder.take_notices()) all.push_back(notice);
    return !all.empty();
  }));
  return all;
}

std::vector<std::string> chunk_lines(const std::filesystem::path& file) {
  std::vector<std::string> lines;
  std::ifstream in(file);
  for (std::string line; std::getline(in, line);) {
    if (line.find("\"hex\"") != std::string::npos) lines.push_back(line);
  }
  return lines;
}

}  // namespace

TEST_CASE("the spool is on the disk within 200 ms, and goes with its session") {
  TestFolder folder;
  {
    Recorder recorder(setup_in(folder.path()));
    give(recorder, 5, {0x90, 60, 80});
    const auto given_ns = io::now_ns();
    const auto spooled = [&] {
      for (const auto& item :
           std::filesystem::recursive_directory_iterator(folder.path() / "spool")) {
        if (item.path().extension() == ".jsonl" && !chunk_lines(item.path()).empty()) return true;
      }
      return false;
    };
    REQUIRE(wait_until([&] { return recorder.spooling(); }));
    REQUIRE(wait_until(spooled));
    CHECK(io::now_ns() - given_ns < second);  // 200 ms are meant; the test machine is shared
  }
  CHECK(std::filesystem::is_empty(folder.path() / "spool"));
}

TEST_CASE("a recording holds what came between its start and its stop, at the session's times") {
  TestFolder folder;
  const auto file = folder.path() / "part.jsonl";
  Recorder recorder(setup_in({}));
  give(recorder, 1 * second, {0x90, 60, 80});
  recorder.start_recording(file, 2 * second);
  give(recorder, 3 * second, {0x90, 61, 80});
  recorder.stop_recording(4 * second);
  give(recorder, 5 * second, {0x90, 62, 80});
  recorder.finish();
  const auto text = text_of(file);
  CHECK(text.find("\"started\":\"2023-11-14T22:13:20Z\"") != std::string::npos);
  CHECK(chunk_lines(file) == std::vector<std::string>{"{\"t\":3000000000,\"hex\":\"903d50\"}"});
  CHECK(text.ends_with("{\"t\":4000000000,\"end\":true}\n"));
  CHECK_FALSE(recorder.recording());
}

TEST_CASE("keep joins the segments of the last minutes, at the session's times") {
  TestFolder folder;
  Recorder recorder(setup_in(folder.path()));
  // One note a minute for 20 minutes: as many segments, the oldest of them gone.
  for (int minute = 0; minute < 20; ++minute) {
    give(recorder, minute * 60 * second, {0x90, static_cast<std::uint8_t>(minute), 80});
  }
  recorder.keep("", 10 * 60 * second, 20 * 60 * second);
  const auto kept = wait_for_notice(recorder);
  REQUIRE_FALSE(kept[0].failed);
  const auto lines = chunk_lines(kept[0].file);
  REQUIRE(lines.size() == 10);
  CHECK(lines.front() == "{\"t\":600000000000,\"hex\":\"900a50\"}");
  CHECK(lines.back() == "{\"t\":1140000000000,\"hex\":\"901350\"}");
  CHECK(recorder.spool_from_ns() == 4 * 60 * second);  // older segments have expired
}

TEST_CASE("two keeps of one moment are two files") {
  TestFolder folder;
  Recorder recorder(setup_in(folder.path()));
  give(recorder, 0, {0x90, 60, 80});
  recorder.keep("twice", 60 * second, second);
  recorder.keep("twice", 60 * second, second);
  recorder.finish();
  const auto notices = recorder.take_notices();
  REQUIRE(notices.size() == 2);
  CHECK_FALSE(notices[1].failed);
  CHECK(notices[0].file != notices[1].file);
  CHECK(chunk_lines(notices[0].file) == chunk_lines(notices[1].file));
}

TEST_CASE("without a spool keep says so and writes nothing") {
  TestFolder folder;
  auto setup = setup_in(folder.path());
  setup.spool = false;
  Recorder recorder(std::move(setup));
  give(recorder, 0, {0x90, 60, 80});
  recorder.keep("x", 60 * second, second);
  const auto notices = wait_for_notice(recorder);
  CHECK(notices[0].failed);
  CHECK(notices[0].text.find("the spool is off") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(folder.path() / "kept"));
}

TEST_CASE("a full disk ends the recording with one sentence, the spool goes on") {
  TestFolder folder;
  Recorder recorder(setup_in(folder.path()));
  recorder.start_recording("/dev/full", 0);
  give(recorder, 0, {0x90, 60, 80});
  std::string said;
  REQUIRE(wait_until([&] {
    for (const auto& notice : recorder.take_notices()) {
      if (notice.failed) said = notice.text;
    }
    return !said.empty();
  }));
  CHECK(said.find("the disk is full") != std::string::npos);
  CHECK(said.find("/dev/full") != std::string::npos);
  CHECK_FALSE(recorder.recording());
  give(recorder, second, {0x90, 61, 80});
  recorder.keep("still", 60 * second, 2 * second);
  const auto kept = wait_for_notice(recorder);
  REQUIRE_FALSE(kept[0].failed);
  CHECK(chunk_lines(kept[0].file).size() == 2);
}

TEST_CASE("a full disk under the spool is said once, and what was written can be kept") {
  TestFolder folder;
  Recorder recorder(setup_in(folder.path()));
  give(recorder, 0, {0x90, 60, 80});
  REQUIRE(wait_until([&] { return recorder.spooling(); }));
  recorder.keep("before", 60 * second, 1);
  REQUIRE_FALSE(wait_for_notice(recorder)[0].failed);
  // A limit of the process on the size of files stands for the full disk.
  rlimit before{};
  REQUIRE(getrlimit(RLIMIT_FSIZE, &before) == 0);
  std::signal(SIGXFSZ, SIG_IGN);
  const rlimit small{400, before.rlim_max};
  REQUIRE(setrlimit(RLIMIT_FSIZE, &small) == 0);
  give(recorder, second, std::vector<std::uint8_t>(1000, 0xF8));
  const auto failed = wait_for_notice(recorder);
  give(recorder, 62 * second, std::vector<std::uint8_t>(1000, 0xF8));
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  const auto again = recorder.take_notices();
  REQUIRE(setrlimit(RLIMIT_FSIZE, &before) == 0);
  CHECK(failed.size() == 1);
  CHECK(failed[0].failed);
  CHECK(again.empty());
  CHECK_FALSE(recorder.spooling());
  // The next segment is tried again.
  give(recorder, 130 * second, {0x90, 62, 80});
  const auto works = wait_for_notice(recorder);
  CHECK(works[0].text == "The spool works again.");
  CHECK(recorder.spooling());
  recorder.keep("after", 900 * second, 131 * second);
  const auto kept = wait_for_notice(recorder);
  REQUIRE_FALSE(kept[0].failed);
  const auto lines = chunk_lines(kept[0].file);
  REQUIRE(lines.size() >= 2);
  CHECK(lines.front().find("903c50") != std::string::npos);
  CHECK(lines.back().find("903e50") != std::string::npos);
  CHECK(kept[0].text.find("cut off") != std::string::npos);
}

TEST_CASE("a disk that does not keep up costs bounded memory and is said") {
  TestFolder folder;
  const auto pipe = folder.path() / "slow.jsonl";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  Recorder recorder(setup_in({}));
  recorder.start_recording(pipe, 0);  // blocks the recorder until somebody reads
  const std::vector<std::uint8_t> chunk(1U << 20U, 0xF8);
  for (int i = 0; i < 80; ++i) give(recorder, i, chunk);
  std::string said;
  std::thread reader([&] { said = text_of(pipe); });
  recorder.finish();
  reader.join();
  const auto notices = recorder.take_notices();
  bool told = false;
  for (const auto& notice : notices) {
    told = told || notice.text.find("The disk is too slow") != std::string::npos;
  }
  CHECK(told);
  CHECK(said.find("\"lost\":") != std::string::npos);
}
