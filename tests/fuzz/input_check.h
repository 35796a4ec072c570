// tests/fuzz/input_check.h
#pragma once

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/session/capture_line.h"
#include "core/session/input_reader.h"

namespace strumwright::fuzz {

class PieceSource final : public session::ByteSource {
 public:
  PieceSource(std::string_view text, std::size_t piece) : text_(text), piece_(piece) {}
  Result<std::size_t> read(std::span<std::uint8_t> space) override {
    const auto count = std::min({space.size(), piece_, text_.size()});
    std::copy_n(text_.begin(), count, space.begin());
    text_.remove_prefix(count);
    return count;
  }

 private:
  std::string_view text_;
  std::size_t piece_;
};

/// All that an input came to; chunks joined, as blocks without times may be cut anywhere.
struct Outcome {
  std::vector<std::uint8_t> bytes;
  std::vector<std::int64_t> times_ns;
  std::string complaint;
  std::optional<std::uint64_t> torn_at;
  friend bool operator==(const Outcome&, const Outcome&) = default;
};

inline void require(bool holds) {
  if (!holds) std::abort();
}

/// Reads an input; aborts where a promise of the readers is broken.
inline Outcome read_input(session::InputKind kind, std::string_view text, std::size_t piece,
                          std::optional<session::TextReading> reading) {
  Outcome outcome;
  const auto complain = [&outcome](const Error& error) {
    require(!error.what.empty() && !error.where.empty() && !error.remedy.empty());
    outcome.complaint = error.where + ": " + error.what;
  };
  PieceSource source(text, piece);
  auto reader = session::open_input(kind, "input", source, reading);
  if (!reader) {
    complain(reader.error());
    return outcome;
  }
  require(!(*reader)->header().sources.empty());
  std::int64_t last_ns = 0;
  for (;;) {
    auto entry = (*reader)->next();
    if (!entry) complain(entry.error());
    if (!entry || !*entry) break;
    require((*entry)->t_ns >= last_ns && (*entry)->t_ns <= session::latest_ns);
    require((*entry)->src < (*reader)->header().sources.size());
    last_ns = (*entry)->t_ns;
    const auto bytes = (*entry)->bytes;
    outcome.bytes.insert(outcome.bytes.end(), bytes.begin(), bytes.end());
    if (kind == session::InputKind::capture) outcome.times_ns.push_back(last_ns);
  }
  require(outcome.bytes.size() <= text.size());
  outcome.torn_at = (*reader)->torn_at();
  require(!outcome.torn_at || *outcome.torn_at < text.size());
  return outcome;
}

/// The pieces in which an input comes must not matter.
inline void check_input(session::InputKind kind, std::string_view text,
                        std::optional<session::TextReading> reading) {
  const auto whole = read_input(kind, text, SIZE_MAX, reading);
  require(read_input(kind, text, 1 + text.size() % 7, reading) == whole);
}

}  // namespace strumwright::fuzz
