// core/session/input_reader.h
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "core/result.h"
#include "core/session/byte_source.h"
#include "core/session/entry.h"
#include "core/session/text_reading.h"

namespace strumwright::session {

/// Reads a recording of any kind as entries, streaming, in bounded memory.
class InputReader {
 public:
  virtual ~InputReader() = default;

  [[nodiscard]] virtual const InputHeader& header() const = 0;
  /// The next entry; none at the end. Its views are good until the next call.
  virtual Result<std::optional<Entry>> next() = 0;
  /// A capture's last line was torn and dropped: at which byte offset. Known at the end.
  [[nodiscard]] virtual std::optional<std::uint64_t> torn_at() const { return std::nullopt; }
};

/// By ending: .jsonl .mid .bin .hex .txt .vcd .csv .wav. None for any other.
[[nodiscard]] std::optional<InputKind> kind_by_ending(std::string_view path);
/// As `--as` names it; the readings of a text (`text-hex`, `text-dec-ms`) are of kind text.
[[nodiscard]] std::optional<InputKind> kind_by_name(std::string_view as);
[[nodiscard]] const char* to_text(InputKind kind);

/// Opens `source` (which must outlive the reader), named `path` in errors. Reads the header.
/// `reading`: how to read a text if that was told (`text_reading_by_name` of what `--as` says).
/// Errors: what, where (file and line or byte) and what to do next.
Result<std::unique_ptr<InputReader>> open_input(InputKind kind, std::string path,
                                                ByteSource& source,
                                                std::optional<TextReading> reading = std::nullopt);

}  // namespace strumwright::session
