// core/session/spool_join.h
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "core/session/byte_source.h"
#include "core/session/input_reader.h"
#include "core/session/spool_state.h"

namespace strumwright::session {

/// What joining came to.
struct Joined {
  std::uint64_t entries = 0;  ///< 0: nothing to keep, no capture was written
  std::int64_t first_ns = 0;
  std::int64_t last_ns = 0;
  std::vector<std::string> remarks;  ///< what is missing or damaged, each a sentence
};

/// Joins segments of a spool to one capture: for *Keep*, and for what a crash left.
///
/// The header comes once, times stay those of the session. What came before the first kept entry is
/// carried over: settings if they are not the first ones, `gone` for a source that is gone, and
/// where a source's first bytes go on with a message or running status from before, the bytes that
/// restate it, with a mark. The same after a missing segment. A note that was down before is not
/// restated. A torn last line is left out; of a damaged segment what can be read is taken, with a
/// remark.
class SpoolJoin {
 public:
  /// Keeps entries from `from_ns` on.
  explicit SpoolJoin(ByteSink& sink, std::int64_t from_ns = 0);

  /// Takes the next segment, in order of the numbers. An error is the sink's, or says that the
  /// segment is of another session.
  Result<Done> add(std::uint64_t number, std::string path, ByteSource& segment);

  /// With the end of the capture, if there is one: an `end` entry at `end_ns` or the last entry's
  /// time, whichever is later.
  Result<Joined> finish(std::optional<std::int64_t> end_ns = std::nullopt);

 private:
  Result<Done> begin(const InputHeader& header);
  Result<Done> take(const Entry& entry);
  Result<Done> flush(bool all);
  void bridge(std::uint64_t number, const InputHeader& header);
  void carry(std::int64_t t_ns);
  void carry_missing(std::int64_t t_ns);
  void restate(const Entry& chunk);
  void put(const Entry& entry);
  void put_gap(std::int64_t t_ns);
  void put_mark(std::int64_t t_ns, std::string_view text);
  void remark(std::uint64_t number, const std::string& what);

  ByteSink& sink_;
  std::int64_t from_ns_;
  InputHeader header_;
  std::optional<SpoolState> state_;                  ///< of the segments, as they say it
  std::optional<SpoolState> written_;                ///< of the capture, as its reader knows it
  std::vector<std::vector<std::uint8_t>> restated_;  ///< of each source: waits for its next bytes
  std::uint64_t last_number_ = 0;
  bool incomplete_ = false;  ///< something of the segment before is missing
  bool bridging_ = false;    ///< say so at the next entry
  Joined joined_;
  std::string text_;
};

}  // namespace strumwright::session
