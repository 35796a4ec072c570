// core/session/entry.h
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/wire/timing_grade.h"

namespace strumwright::session {

/// Where bytes come from, as the header of a capture says it.
struct SourceInfo {
  std::string name;
  bool raw = false;                           ///< bytes as on a wire, not whole messages
  wire::Grade timing = wire::Grade::none;     ///< how its chunks were stamped
  std::optional<std::int64_t> resolution_ns;  ///< of the stamps, if known
  bool simulated = false;
};

/// Values marked (ours) in the rules, as documents show them.
struct Settings {
  double strum_gap_ms = 120.0;
  double refractory_ms = 50.0;
  double hold_limit_ms = 30000.0;
  friend bool operator==(const Settings&, const Settings&) = default;
};

/// One thing that entered the bench. A capture is these, in the order in which they entered.
/// `bytes` and `text` point into the reader's or source's memory, good for the call only.
struct Entry {
  enum class Kind : std::uint8_t { chunk, mark, lost, gone, back, settings, end };
  Kind kind = Kind::chunk;
  bool out = false;                     ///< of a chunk: sent by us; kept and shown, not analysed
  std::uint16_t src = 0;                ///< index into the capture's sources
  std::int64_t t_ns = 0;                ///< when the first byte began; never goes back
  std::span<const std::uint8_t> bytes;  ///< of a chunk
  std::int64_t lost = 0;                ///< bytes or messages dropped
  std::string_view text;                ///< of a mark
  Settings settings;                    ///< of `settings`: the whole set then in force
};

/// What kind of file an input is. Spelled as `--as` and documents spell it.
enum class InputKind : std::uint8_t { capture, smf, bin, hex, text, vcd, csv, wav };

/// What was in force where a segment of the spool begins, as its header carries it. Other captures
/// have none.
struct Carried {
  Settings settings;
  std::vector<std::uint16_t> gone;              ///< sources that are gone
  std::vector<std::vector<std::uint8_t>> open;  ///< of each source: see `StreamTail::bytes`
};

/// What an input says about itself before its first entry.
struct InputHeader {
  InputKind kind = InputKind::capture;
  std::vector<SourceInfo> sources;
  std::string started;               ///< ISO 8601 UTC, empty if unknown
  std::vector<std::string> remarks;  ///< for instance how a text was read; for stderr
  std::optional<Carried> carried;
};

}  // namespace strumwright::session
