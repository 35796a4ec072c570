// app/engine/history.h
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "app/engine/now_state.h"
#include "core/midi/event.h"

namespace strumwright::engine {

/// A note from start to end, or still down.
struct NoteSpan {
  std::int64_t start_ns = 0;
  std::int64_t end_ns = -1;              ///< -1: written when it ended; see `HistoryReader`
  std::uint8_t channel = 0;              ///< index
  std::uint8_t note = 0;
  std::uint8_t velocity = 0;
  std::uint8_t ending = 0;               ///< notes::Ending; 255: started again while down
};

/// A byte as it came, for the byte ribbon.
struct WireByte {
  std::int64_t t_ns = 0;
  std::uint64_t index_and_value = 0;     ///< index << 8 | value
  [[nodiscard]] std::uint8_t value() const { return static_cast<std::uint8_t>(index_and_value); }
  [[nodiscard]] std::uint64_t index() const { return index_and_value >> 8U; }
};

/// Append-only list of fixed-size records in blocks: one writer, readers without locks.
///
/// The count is published by a release store; records below it never change. The oldest blocks go
/// when more than `most` records are held; a reader gets what is left between `first()` and `end()`.
/// A block that went is freed only when no reader can be in it (readers hold a `Pin`).
template <class Record>
class BlockList;

}  // namespace strumwright::engine
