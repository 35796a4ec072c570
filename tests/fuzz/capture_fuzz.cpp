// tests/fuzz/capture_fuzz.cpp
#include <algorithm>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "tests/fuzz/input_check.h"

#include "core/limits.h"
#include "core/session/capture_json.h"
#include "core/session/capture_line.h"
#include "core/session/line_reader.h"

using namespace strumwright;
using namespace strumwright::session;

namespace {

using fuzz::require;

/// A line that the scanner takes must be one that the JSON reader takes, and to the same.
void check_line(std::string line) {
  const auto size = line.size();
  line.resize(size + LineReader::padding, '\0');
  static const auto space = std::make_unique<std::uint8_t[]>(limits::line_bytes);
  Entry chunk;
  const auto length = ChunkScanner()
                          .take({line.data(), size}, space.get(), {&chunk, 1}, 0, limits::sources)
                          .characters;
  if (length == 0) return;
  require(length <= size && line[length - 1] == '\n');
  static const auto other_space = std::make_unique<std::uint8_t[]>(limits::line_bytes);
  static CaptureJson json;
  Entry entry;
  const auto refusal =
      json.read_entry({line.data(), length - 1}, limits::sources, other_space.get(), entry);
  require(!refusal && entry.kind == Entry::Kind::chunk && entry.t_ns == chunk.t_ns &&
          entry.src == chunk.src && entry.out == chunk.out &&
          std::ranges::equal(entry.bytes, chunk.bytes));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  fuzz::check_input(InputKind::capture, text, std::nullopt);
  // Most inputs fail at the header; their lines are worth reading all the same.
  fuzz::check_input(
      InputKind::capture,
      "{\"strumwright\":\"capture\",\"version\":1,\"sources\":[{},{}]}\n" + std::string(text),
      std::nullopt);
  for (std::size_t at = 0; at < text.size(); at = text.find('\n', at) + 1) {
    check_line(std::string(text.substr(at)));
    if (text.find('\n', at) == std::string_view::npos) break;
  }
  return 0;
}
