// tests/core/session/capture_line_test.cpp
#include "core/session/capture_line.h"

#include <memory>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "tests/core/session/memory_bytes.h"
#include <doctest/doctest.h>

#include "core/limits.h"
#include "core/session/line_reader.h"

using namespace strumwright;
using namespace strumwright::session;

namespace {

/// How many bytes of the text the scanner took, and what it made of them.
std::pair<std::size_t, Entry> scan(std::string text) {
  static const auto space = std::make_unique<std::uint8_t[]>(limits::line_bytes / 2);
  const auto size = text.size();
  text.resize(size + LineReader::padding, '\0');
  Entry chunk;
  ChunkScanner scanner;
  const auto length =
      scanner.take({text.data(), size}, space.get(), {&chunk, 1}, 0, limits::sources).characters;
  return {length, chunk};
}

std::string any_space(std::mt19937& random) {
  static constexpr std::string_view spaces[] = {"", "", " ", "  ", "\t", "\r"};
  return std::string(spaces[random() % 6]);
}

/// The same members in another order, spacing, case of digits and with unknown keys among them.
std::string reshaped(std::vector<std::string> members, std::mt19937& random) {
  if (random() % 2 == 0) members.emplace_back("\"new\":[{\"a\":1},null]");
  std::shuffle(members.begin(), members.end(), random);
  std::string line = any_space(random) + "{";
  for (std::size_t i = 0; i < members.size(); ++i) {
    const auto colon = members[i].find(':');
    line += (i == 0 ? "" : ",") + any_space(random) + members[i].substr(0, colon) +
            any_space(random) + ':' + any_space(random) + members[i].substr(colon + 1);
  }
  return line + any_space(random) + "}" + any_space(random);
}

}  // namespace

TEST_CASE("the scanner takes chunks of known members, and leaves all else to the JSON reader") {
  for (const char* line :
       {"{\"t\":0,\"hex\":\"\"}\n", "{\"t\":120,\"hex\":\"903c64\"}\n",
        "{\"t\":120,\"hex\":\"903C64\"}\n", "{\"t\":999999999999999,\"hex\":\"90\"}\n",
        "{\"t\":1,\"hex\":\"90\",\"src\":63}\n", "{\"t\":1,\"hex\":\"90\",\"dir\":\"out\"}\n",
        "{\"t\":1,\"hex\":\"90\",\"src\":1,\"dir\":\"out\"}\n", "{ \"t\":1,\"hex\":\"90\"}\n",
        "{\"t\":1,\"hex\":\"90\"}\r\n", "{\"t\":1,\"hex\":\"90\",\"dir\":\"out\",\"src\":1}\n",
        "{\"hex\":\"90\",\"t\":1}\n"}) {
    INFO(line);
    CHECK(scan(line).first == std::string(line).size());
    CHECK(scan(std::string(line) + "{\"t\":").first == std::string(line).size());
  }
  for (const char* line : {"",
                           "\n",
                           "{\"t\":1,\"hex\":\"90\"}",
                           "{\"t\":01,\"hex\":\"90\"}\n",
                           "{\"t\":,\"hex\":\"90\"}\n",
                           "{\"t\":-1,\"hex\":\"90\"}\n",
                           "{\"t\":1.0,\"hex\":\"90\"}\n",
                           "{\"t\":1e3,\"hex\":\"90\"}\n",
                           "{\"t\":1000000000000000,\"hex\":\"90\"}\n",
                           "{\"t\":1,\"hex\":\"9\"}\n",
                           "{\"t\":1,\"hex\":\"9g\"}\n",
                           "{\"t\":1,\"hex\":\"9`\"}\n",
                           "{\"t\":1,\"hex\":\"90\",\"src\":}\n",
                           "{\"t\":1,\"hex\":\"90\",\"src\":01}\n",
                           "{\"t\":1,\"hex\":\"90\",\"src\":64}\n",
                           "{\"t\":1,\"hex\":\"90\",\"dir\":\"in\"}\n",
                           "{\"t\":1,\"hex\":\"90\",}\n",
                           "{\"t\":1,,\"hex\":\"90\"}\n",
                           "{\"t\":1 \"hex\":\"90\"}\n",
                           "{\"t\":1,\"hex\":\"90\",\"new\":1}\n",
                           "{\"t\":1,\"t\":1,\"hex\":\"90\"}\n",
                           "{\"t\":1}\n",
                           "{\"hex\":\"90\"}\n",
                           "{\"t\":1,\"hex\":\"90\"}}\n",
                           "{\"t\" 1,\"hex\":\"90\"}\n",
                           "{\"t\":1,\"hex\":\"90\"} x\n"}) {
    INFO(line);
    CHECK(scan(line).first == 0);
  }
}

TEST_CASE("a character is a hex digit to the scanner if it is one to JSON, in every place") {
  for (int place = 0; place < 10; ++place) {
    for (int character = 0; character < 256; ++character) {
      std::string line = "{\"t\":1,\"hex\":\"0123456789\"}\n";
      line[static_cast<std::size_t>(14 + place)] = static_cast<char>(character);
      const bool is_digit =
          std::string_view("0123456789abcdefABCDEF").find(static_cast<char>(character)) !=
          std::string_view::npos;
      const auto [length, chunk] = scan(line);
      INFO(place, " ", character);
      REQUIRE((length != 0) == is_digit);
      if (!is_digit) continue;
      const auto value =
          std::stoul(line.substr(14 + static_cast<std::size_t>(place) / 2 * 2, 2), nullptr, 16);
      REQUIRE(chunk.bytes[static_cast<std::size_t>(place) / 2] == value);
    }
  }
}

TEST_CASE("times of every number of digits are read, whatever the line before had") {
  std::string text;
  static const auto space = std::make_unique<std::uint8_t[]>(1024);
  ChunkScanner scanner;
  for (const std::int64_t step : {1, 7}) {
    for (std::int64_t t_ns = step; t_ns < 1'000'000'000'000'000; t_ns = t_ns * 10 + step) {
      for (int again = 0; again < 2; ++again) {
        std::string line = "{\"t\":" + std::to_string(t_ns) + ",\"hex\":\"90\"}\n";
        const auto size = line.size();
        line.resize(size + LineReader::padding, '\0');
        Entry chunk;
        const auto taken = scanner.take({line.data(), size}, space.get(), {&chunk, 1}, 0, 64);
        REQUIRE(taken.characters == size);
        REQUIRE(chunk.t_ns == t_ns);
      }
    }
  }
}

TEST_CASE("the scanner never takes a line from bytes behind the text") {
  const std::string line = "{\"t\":120,\"hex\":\"903c64\",\"src\":1}\n";
  for (std::size_t size = 0; size < line.size(); ++size) {
    std::string text = line;
    text.resize(line.size() + LineReader::padding, '\0');
    text[size] = '\0';  // as the line reader leaves it
    Entry chunk;
    std::uint8_t space[64];
    CHECK(ChunkScanner().take({text.data(), size}, space, {&chunk, 1}, 0, 64).lines == 0);
  }
}

TEST_CASE("a chunk reads the same in any key order, spacing and case") {
  std::mt19937 random(11);
  const std::string header = "{\"strumwright\":\"capture\",\"version\":1,\"sources\":[{},{},{}]}\n";
  std::string exact = header;
  std::string other = header;
  for (std::int64_t i = 0; i < 2000; ++i) {
    std::vector<std::string> members = {"\"t\":" + std::to_string(i * 1'000'003),
                                        "\"hex\":\"" + std::string(random() % 9 * 2, 'c') + "\""};
    if (random() % 3 == 0) members.push_back("\"src\":" + std::to_string(random() % 3));
    if (random() % 3 == 0) members.emplace_back("\"dir\":\"out\"");
    std::string line = "{";
    for (const auto& member : members) line += (line.size() > 1 ? "," : "") + member;
    exact += line + "}\n";
    REQUIRE(scan(line + "}\n").first == line.size() + 2);
    other += reshaped(members, random) + "\n";
  }
  const auto by_scanner = read_out(InputKind::capture, exact);
  const auto by_json = read_out(InputKind::capture, other);
  CHECK(by_scanner.complaint().empty());
  CHECK(by_json.complaint().empty());
  CHECK(by_scanner.entries.size() == 2000);
  CHECK(by_scanner.entries == by_json.entries);
}
