// core/session/input_reader.h
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
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

  /// The next entries, as many as are at hand; none at the end. Their views are good until the next
  /// call. Entries before an error come first.
  virtual Result<std::span<const Entry>> read() = 0;

  /// The next entry alone; none at the end. Its views are good until the next call. Not to be mixed
  /// with `read`.
  Result<std::optional<Entry>> next() {
    if (left_.empty()) {
      auto entries = read();
      if (!entries) return entries.error();
      left_ = *entries;
      if (left_.empty()) return std::optional<Entry>();
    }
    const Entry& entry = left_.front();
    left_ = left_.subspan(1);
    return std::optional<Entry>(entry);
  }

  /// A capture's last line was torn and dropped: at which byte offset. Known at the end.
  [[nodiscard]] virtual std::optional<std::uint64_t> torn_at() const { return std::nullopt; }

 private:
  std::span<const Entry> left_;  ///< of what was read: not handed out yet
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
