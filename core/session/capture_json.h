// core/session/capture_json.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "core/session/entry.h"

namespace strumwright::session {

/// Why a line of a capture cannot be taken. The reader adds where.
struct Refusal {
  std::string what;
  std::string remedy;
  bool not_json = false;  ///< as the last line of a recording that was cut off
};

/// Judges lines of a capture as JSON (RFC 8259) of any key order and spacing, nested at most
/// `limits::json_depth` deep. Unknown keys are ignored; of a key given twice the last counts.
///
/// The text of a line must be followed by `LineReader::padding` readable bytes. Thread: its
/// owner's.
class CaptureJson {
 public:
  CaptureJson();
  ~CaptureJson();

  /// The first line. A header without `timing` claims nothing (grade none), nor one without `raw`.
  /// `sources` is a list of objects with `source` (or `name`), `raw`, `timing`; what one leaves out
  /// is as the line itself has it. Names are cleaned; a source without one is named
  /// `fallback_name`.
  std::optional<Refusal> read_header(std::string_view line, const std::string& fallback_name,
                                     InputHeader& header);

  /// Any other line: exactly one of hex, mark, lost, gone, back, settings, end, with its time.
  /// `entry.settings` holds the settings so far; a `settings` line changes the keys that it has.
  /// Bytes are decoded into `space` (room for half a line); a mark is good until the next call.
  std::optional<Refusal> read_entry(std::string_view line, std::size_t source_count,
                                    std::uint8_t* space, Entry& entry);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace strumwright::session
