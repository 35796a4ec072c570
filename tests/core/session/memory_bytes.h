// tests/core/session/memory_bytes.h
#pragma once

#include <algorithm>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/session/input_reader.h"

namespace strumwright::session {

/// A text as a byte source that hands over at most `piece` bytes a call.
class MemorySource final : public ByteSource {
 public:
  explicit MemorySource(std::string_view text, std::size_t piece = SIZE_MAX)
      : text_(text), piece_(piece) {}

  Result<std::size_t> read(std::span<std::uint8_t> space) override {
    const auto count = std::min({space.size(), piece_, text_.size() - at_});
    std::copy_n(text_.begin() + static_cast<std::ptrdiff_t>(at_), count, space.begin());
    at_ += count;
    return count;
  }

  [[nodiscard]] std::size_t taken() const { return at_; }

 private:
  std::string text_;
  std::size_t piece_;
  std::size_t at_ = 0;
};

/// Keeps what is written.
class MemorySink final : public ByteSink {
 public:
  Result<Done> write(std::span<const std::uint8_t> bytes) override {
    text.append(bytes.begin(), bytes.end());
    return Done{};
  }
  std::string text;
};

/// An entry with its own memory.
struct OwnedEntry {
  Entry::Kind kind = Entry::Kind::chunk;
  bool out = false;
  std::uint16_t src = 0;
  std::int64_t t_ns = 0;
  std::vector<std::uint8_t> bytes;
  std::int64_t lost = 0;
  std::string text;
  Settings settings;
  friend bool operator==(const OwnedEntry&, const OwnedEntry&) = default;
};

inline OwnedEntry owned(const Entry& entry) {
  return {entry.kind,
          entry.out,
          entry.src,
          entry.t_ns,
          {entry.bytes.begin(), entry.bytes.end()},
          entry.lost,
          std::string(entry.text),
          entry.settings};
}

/// All that reading an input came to.
struct ReadOut {
  InputHeader header;
  std::vector<OwnedEntry> entries;
  std::optional<Error> error;
  std::optional<std::uint64_t> torn_at;

  [[nodiscard]] std::string complaint() const {
    return error ? error->where + ": " + error->what : std::string();
  }
  /// The bytes of all chunks in order.
  [[nodiscard]] std::vector<std::uint8_t> bytes() const {
    std::vector<std::uint8_t> all;
    for (const auto& entry : entries) all.insert(all.end(), entry.bytes.begin(), entry.bytes.end());
    return all;
  }
};

inline ReadOut drain(InputReader& reader) {
  ReadOut out;
  out.header = reader.header();
  for (;;) {
    auto entry = reader.next();
    if (!entry) {
      out.error = entry.error();
      break;
    }
    if (!*entry) break;
    out.entries.push_back(owned(**entry));
  }
  out.torn_at = reader.torn_at();
  return out;
}

inline ReadOut read_out(InputKind kind, std::string_view text, std::size_t piece = SIZE_MAX) {
  MemorySource source(text, piece);
  auto reader = open_input(kind, "evening", source);
  if (reader) return drain(**reader);
  ReadOut out;
  out.error = reader.error();
  return out;
}

}  // namespace strumwright::session
