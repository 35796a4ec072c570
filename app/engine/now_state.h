// app/engine/now_state.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string_view>

#include "core/diagnosis/finding.h"
#include "core/harmony/chord_name.h"
#include "core/notes/note_fact.h"
#include "core/wire/timing_grade.h"

namespace strumwright::engine {

/// A short text by value, cut at a whole UTF-8 character; a plain struct, for hand-over by copy.
template <std::size_t size>
struct Label {
  std::array<char, size> text{};

  void set(std::string_view from) {
    std::size_t length = from.size() < size ? from.size() : size - 1;
    while (length > 0 && length < from.size() &&
           (static_cast<unsigned char>(from[length]) & 0xC0U) == 0x80U) {
      --length;
    }
    if (length > 0) std::memcpy(text.data(), from.data(), length);  // an empty view has no data
    text[length] = '\0';
  }
  [[nodiscard]] std::string_view view() const { return text.data(); }
};

enum class Link : std::uint8_t { none, linked, gone, ended };

/// One onset of a stroke as the strum comb draws it.
struct ToothNow {
  std::int64_t t_ns = 0;
  std::uint8_t channel = 0;  ///< index
  std::uint8_t note = 0;
  std::uint8_t velocity = 0;
  std::uint8_t place = 0;
  std::uint8_t role = 0;  ///< strum::Role
};

/// A stroke as screens draw it: a copy of bounded size.
struct StrokeNow {
  static constexpr std::size_t most_teeth = 64;
  std::uint64_t serial = 0;  ///< counts strokes of the session from 1; 0: none yet
  std::int64_t start_ns = 0;
  std::int64_t end_ns = 0;
  std::int64_t span_ns = 0;
  double evenness = -1.0;      ///< below 0: not judged
  std::uint8_t direction = 2;  ///< strum::Direction
  bool final = false;
  bool strum = false;  ///< three onsets or more that are no doubles
  bool wire_limited = false;
  bool timed = true;            ///< grade allows span and evenness
  bool running_status = false;  ///< the wire carried it without status bytes: 0.64 ms a note
  harmony::ChordName chord;
  std::uint8_t tooth_count = 0;
  std::uint16_t teeth_left_out = 0;
  std::array<ToothNow, most_teeth> teeth{};
};

/// What is true now, handed from the bench thread to the screen by a triple buffer.
/// Plain values, under 64 KB. Times: ns from the session's start.
// NOLINTNEXTLINE(clang-analyzer-optin.performance.Padding): grouped by meaning; 35 bytes are lost
struct Now {
  std::uint64_t version = 0;  ///< grows with each publication
  std::uint64_t epoch = 0;    ///< counts sessions from 1: at a new one, screens reset
  std::int64_t t_ns = 0;      ///< the session's clock when it was published
  std::int64_t shown_ns = 0;  ///< judged up to here; of a file: how far it was read

  // Source
  Label<96> source_name;     ///< "H-02", "SIMULATED Heron", a port's name
  Label<160> source_detail;  ///< "raw bytes, serial line at 31,250 baud"
  Link link = Link::none;
  std::int64_t link_since_ns = 0;
  bool simulated = false;
  bool raw = false;
  bool from_file = false;
  wire::Grade grade = wire::Grade::none;
  std::int64_t resolution_ns = 0;  ///< of the stamps; 0 unknown
  double load_now = 0.0;           ///< of 1; below 0: not judged
  double load_peak = 0.0;
  double load_mean = 0.0;

  // Recording
  bool recording = false;
  bool spooling = false;  ///< the spool is on and works
  std::int64_t recording_since_ns = 0;
  std::int64_t spool_from_ns = 0;  ///< the spool holds from here to now
  Label<200> notice;               ///< one sentence of the program itself; empty: none
  std::uint64_t notice_serial = 0;

  // Counters of the session
  std::uint64_t bytes = 0;
  std::uint64_t messages = 0;
  std::uint64_t running_used = 0;
  std::uint64_t running_possible = 0;
  std::uint64_t stray_bytes = 0;
  std::uint64_t text_bytes = 0;
  std::uint64_t undefined = 0;
  std::uint64_t lost = 0;  ///< dropped by a full ring: never in silence
  std::uint64_t note_starts = 0;
  std::uint64_t note_releases = 0;
  std::uint64_t errors = 0;
  std::uint64_t warnings = 0;
  std::uint64_t infos = 0;
  std::int64_t first_byte_ns = -1;
  std::int64_t last_byte_ns = -1;
  Label<64> first_bytes;  ///< the first bytes as hex, for the first-light card

  // Music
  harmony::ChordName chord;  ///< live
  std::int64_t chord_since_ns = 0;
  harmony::ChordName chord_before;
  StrokeNow stroke;  ///< the newest, provisional while it runs
  static constexpr std::size_t most_held = 256;
  std::uint32_t held_count = 0;  ///< may exceed most_held; then the array has the oldest
  std::array<notes::HeldNote, most_held> held{};

  static constexpr std::size_t most_findings = 64;
  std::uint64_t findings_total = 0;
  std::uint32_t finding_count = 0;  ///< of the array, newest first
  std::array<diagnosis::Finding, most_findings> findings{};
};
static_assert(sizeof(Now) < std::size_t{64} * 1024);

}  // namespace strumwright::engine
