// core/diagnosis/finding.h
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/diagnosis/rule.h"
#include "core/harmony/chord_name.h"
#include "core/notes/ledger.h"

namespace strumwright::diagnosis {

/// Why a finding may be less than it seems; the words are in `doubt_text`.
enum class Doubt : std::uint8_t {
  none,
  peer_not_wire,  ///< a source of whole messages: this shows the sending program, not a wire
  two_readings,   ///< the bytes allow a second reading
  joined_late,    ///< the recording may have begun in mid-play
};

/// One observed fault or remark: plain values, no text, so that the bench thread can copy it.
/// Texts come from `finding_text.h`. Times in ns from the session's start.
struct Finding {
  Rule rule{};
  Severity severity{};
  Doubt doubt = Doubt::none;
  bool at_end = false;  ///< decided because the input ended
  std::uint16_t src = 0;
  std::int64_t t_ns = 0;
  std::int64_t decided_ns = 0;          ///< the deadline or event that decided it
  std::optional<std::uint64_t> byte;    ///< 0-based index in the source's MIDI bytes
  std::optional<std::uint8_t> channel;  ///< 1 to 16
  std::optional<std::uint8_t> note;
  std::optional<std::uint8_t> string;
  std::uint64_t count = 1;  ///< bytes of a run, notes of a list, messages lost
  // Evidence that the sentence names; what each rule puts here stands in finding_text.cpp.
  std::optional<notes::NoteKey> other;  ///< the other note, for instance the one that hangs
  std::int64_t other_ns = 0;            ///< when the other note started
  notes::NoteMask listed;               ///< the notes of a list (on `channel`)
  std::int64_t amount = 0;              ///< ns, a byte value, a load in 1/1000: by rule
  std::optional<harmony::Reading> chord_before;
  std::optional<harmony::Reading> chord_after;
};

}  // namespace strumwright::diagnosis
