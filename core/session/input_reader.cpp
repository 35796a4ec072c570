// core/session/input_reader.cpp
#include "core/session/input_reader.h"

#include <utility>

#include "core/session/bin_reader.h"
#include "core/session/capture_reader.h"
#include "core/session/hex_reader.h"
#include "core/session/text_reader.h"

namespace strumwright::session {
namespace {

struct KindName {
  InputKind kind;
  std::string_view ending;
  const char* name;    ///< as `--as` and documents spell it
  const char* plural;  ///< in sentences
};

constexpr KindName kinds[] = {
    {InputKind::capture, ".jsonl", "capture", "captures"},
    {InputKind::smf, ".mid", "smf", "Standard MIDI Files"},
    {InputKind::bin, ".bin", "bin", "binary dumps"},
    {InputKind::hex, ".hex", "hex", "hex dumps"},
    {InputKind::text, ".txt", "text", "texts of numbers"},
    {InputKind::vcd, ".vcd", "vcd", "VCD line recordings"},
    {InputKind::csv, ".csv", "csv", "CSV line recordings"},
    {InputKind::wav, ".wav", "wav", "WAV line recordings"},
};

const KindName& named(InputKind kind) { return kinds[static_cast<std::size_t>(kind)]; }

bool ends_with_ignoring_case(std::string_view path, std::string_view ending) {
  if (path.size() < ending.size()) return false;
  path.remove_prefix(path.size() - ending.size());
  for (std::size_t i = 0; i < ending.size(); ++i) {
    const char lower = path[i] >= 'A' && path[i] <= 'Z' ? static_cast<char>(path[i] + 32) : path[i];
    if (lower != ending[i]) return false;
  }
  return true;
}

}  // namespace

std::optional<InputKind> kind_by_ending(std::string_view path) {
  for (const auto& row : kinds) {
    if (ends_with_ignoring_case(path, row.ending)) return row.kind;
  }
  return std::nullopt;
}

std::optional<InputKind> kind_by_name(std::string_view as) {
  for (const auto& row : kinds) {
    if (as == row.name) return row.kind;
  }
  if (text_reading_by_name(as)) return InputKind::text;
  return std::nullopt;
}

const char* to_text(InputKind kind) { return named(kind).name; }

Result<std::unique_ptr<InputReader>> open_input(InputKind kind, std::string path,
                                                ByteSource& source,
                                                std::optional<TextReading> reading) {
  using Reader = std::unique_ptr<InputReader>;
  switch (kind) {
    case InputKind::capture:
      return CaptureReader::open(std::move(path), source);
    case InputKind::bin:
      return Reader(std::make_unique<BinReader>(path, source));
    case InputKind::hex:
      return Reader(std::make_unique<HexReader>(std::move(path), source));
    case InputKind::text:
      return TextReader::open(std::move(path), source, reading);
    case InputKind::smf:
    case InputKind::vcd:
    case InputKind::csv:
    case InputKind::wav:
      break;
  }
  return Error{std::string(named(kind).plural) + " cannot be read yet", std::move(path),
               "give a capture (.jsonl), .hex, .bin or .txt"};
}

}  // namespace strumwright::session
