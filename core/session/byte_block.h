// core/session/byte_block.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <utility>

#include "core/midi/status.h"
#include "core/session/entry.h"
#include "core/session/label.h"

namespace strumwright::session {

/// The most bytes that an input without times gives in one entry (ours).
inline constexpr std::size_t block_bytes = std::size_t{64} << 10U;

/// Bytes of an input without times, laid end to end at wire speed: byte k begins at k * 320 us,
/// only to keep an order. One block, used again and again.
class ByteBlock {
 public:
  [[nodiscard]] std::span<std::uint8_t> space() { return {bytes_.get(), block_bytes}; }
  [[nodiscard]] bool is_full() const { return count_ == block_bytes; }
  [[nodiscard]] bool is_empty() const { return count_ == 0; }
  void add(std::uint8_t byte) { bytes_[count_++] = byte; }
  /// `count` bytes were written to the start of `space()`.
  void set_count(std::size_t count) { count_ = count; }

  /// The block as an entry; the block is empty then, but its bytes stay until the next is added.
  [[nodiscard]] Entry take() {
    Entry entry;
    entry.t_ns = static_cast<std::int64_t>(taken_) * midi::byte_ns;
    entry.bytes = {bytes_.get(), count_};
    taken_ += count_;
    count_ = 0;
    return entry;
  }

 private:
  std::unique_ptr<std::uint8_t[]> bytes_ =
      std::make_unique_for_overwrite<std::uint8_t[]>(block_bytes);
  std::size_t count_ = 0;
  std::uint64_t taken_ = 0;
};

/// The header of an input without times: one source, named as the file, raw bytes, grade none.
[[nodiscard]] inline InputHeader untimed_header(InputKind kind, const std::string& path) {
  SourceInfo source;
  source.name = base_name(path);
  source.raw = true;
  InputHeader header;
  header.kind = kind;
  header.sources.push_back(std::move(source));
  return header;
}

}  // namespace strumwright::session
