// app/engine/history.h
#pragma once

#include <cstddef>
#include <cstdint>

#include "app/engine/block_list.h"
#include "app/engine/now_state.h"
#include "core/midi/event.h"

namespace strumwright::engine {

/// A note from start to end. Written when it ended; those still down stand in `Now::held`.
struct NoteSpan {
  static constexpr std::uint8_t started_again = 255;

  std::int64_t start_ns = 0;
  std::int64_t end_ns = 0;
  std::uint8_t channel = 0;  ///< index
  std::uint8_t note = 0;
  std::uint8_t velocity = 0;  ///< of the start
  std::uint8_t ending = 0;    ///< notes::Ending, or `started_again`: started while down
  std::uint8_t src = 0;

  [[nodiscard]] std::int64_t order_ns() const { return end_ns; }
};

/// A byte as it came (or went out), for the byte ribbon.
struct WireByte {
  std::int64_t t_ns = 0;
  std::uint64_t word = 0;  ///< bits 0-7 value, 8-14 src, 15 sent by us, 16-63 index

  [[nodiscard]] std::uint8_t value() const { return static_cast<std::uint8_t>(word); }
  [[nodiscard]] std::uint8_t src() const { return static_cast<std::uint8_t>(word >> 8U & 0x7FU); }
  [[nodiscard]] bool out() const { return (word >> 15U & 1U) != 0; }
  /// 0-based index in its source's MIDI bytes (those sent by us are counted apart).
  [[nodiscard]] std::uint64_t index() const { return word >> 16U; }
  [[nodiscard]] std::int64_t order_ns() const { return t_ns; }
};

/// A parsed message or anomaly of a source; `midi::Code::count` events are kept too.
struct EventAt {
  std::int64_t t_ns = 0;  ///< the event's; of a `count` event that of the event before it
  midi::Event event{};
  std::uint8_t src = 0;

  [[nodiscard]] std::int64_t order_ns() const { return t_ns; }
};

/// The settled chord from here to the next `ChordSpan` of the source.
struct ChordSpan {
  std::int64_t t_ns = 0;  ///< first onset of its stroke
  harmony::ChordName chord;
  std::uint8_t src = 0;

  [[nodiscard]] std::int64_t order_ns() const { return t_ns; }
};

/// A final stroke.
struct StrokeAt : StrokeNow {
  std::uint8_t src = 0;

  [[nodiscard]] std::int64_t order_ns() const { return end_ns; }
};

struct FindingAt : diagnosis::Finding {
  [[nodiscard]] std::int64_t order_ns() const { return decided_ns; }
};

/// Bytes that began in one 100 ms column of a source. Columns without bytes are left out; if two
/// records have one column, add them.
struct LoadColumn {
  static constexpr std::int64_t width_ns = 100'000'000;
  /// What the wire carries in a column: 100 ms at ten bits a byte and 31,250 baud.
  static constexpr double full_bytes = 312.5;

  std::int64_t t_ns = 0;  ///< start: a multiple of `width_ns`
  std::uint32_t bytes = 0;
  std::uint8_t src = 0;

  [[nodiscard]] std::int64_t order_ns() const { return t_ns; }
};

/// Something that befell a source or the session, for marks on time axes.
struct SourceEvent {
  enum class What : std::uint8_t { gone, back, lost, mark, settings, ended };

  std::int64_t t_ns = 0;
  What what = What::mark;
  std::uint8_t src = 0;
  std::int64_t lost = 0;  ///< of `lost`: bytes or messages
  Label<104> text;        ///< of a mark

  [[nodiscard]] std::int64_t order_ns() const { return t_ns; }
};

/// The whole recent past of one session, for screens. Written by the bench thread alone.
///
/// Take a `view()` of a list for a frame and index it (block_list.h). About a million messages are
/// held, 120 MB at most; the spool or capture has the rest.
struct History {
  static constexpr std::size_t most_messages = 1'000'000;

  BlockList<NoteSpan> notes{most_messages / 2};  ///< by end
  BlockList<StrokeAt, 64> strokes{20'000};       ///< by end
  BlockList<ChordSpan, 256> chords{50'000};
  BlockList<FindingAt, 256> findings{50'000};  ///< by decision
  BlockList<EventAt> events{most_messages};
  BlockList<WireByte> bytes{2 * most_messages};
  BlockList<LoadColumn, 1024> load{400'000};  ///< eleven hours without a pause
  BlockList<SourceEvent, 64> source_events{10'000};
};

}  // namespace strumwright::engine
