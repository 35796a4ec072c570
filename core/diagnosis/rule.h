// core/diagnosis/rule.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace strumwright::diagnosis {

enum class Severity : std::uint8_t { error, warning, info };

/// Every rule of the catalogue, in its order.
enum class Rule : std::uint8_t {
  wire_silent,
  wire_joined,
  wire_backlog,
  wire_stray_data,
  wire_cut_short,
  wire_undefined_status,
  wire_sysex_open,
  wire_sysex_empty,
  wire_eox_alone,
  wire_suspect_status,
  wire_text,
  wire_wrong_rate,
  wire_status_age,
  wire_overflow,
  wire_framing,
  wire_break,
  wire_glitch,
  wire_clock,
  wire_clock_unsure,
  wire_jitter,
  wire_load,
  note_stuck,
  note_off_unmatched,
  note_on_twice,
  note_shared,
  note_swapped_off,
  note_channel_crossed,
  note_burst_short,
  note_flash,
  note_all_off_only,
  strum_doubled,
  strum_skipped,
  strum_neighbour,
  strum_wire_limited,
  strum_scan,
  timing_batched,
  timing_sense_lost,
  timing_stall,
  port_gone,
  port_back,
  chord_wrong_note,
  chord_passing,
  chord_unknown,
  touch_all_at_once,
  control_off_range,
  control_unexpected,
  control_flood,
  control_repeated,
};
inline constexpr std::size_t rule_count = static_cast<std::size_t>(Rule::control_repeated) + 1;

/// What a rule cannot be judged without.
enum class Needs : std::uint8_t { nothing, raw_source, times, instrument, line_recording };

/// One row of the catalogue: what documents, screens, help and `explain` print.
struct RuleText {
  Rule rule;
  const char* name;  ///< "note.stuck"
  Severity severity;
  Needs needs;
  const char* title;                    ///< a few words for a list: "Note never released"
  const char* meaning;                  ///< one or two sentences
  std::span<const char* const> causes;  ///< likely causes in the maker's words, likeliest first
  const char* next;                     ///< what to do next, one sentence
};

/// The whole catalogue, in the order of `Rule`.
[[nodiscard]] std::span<const RuleText> catalogue();
[[nodiscard]] const RuleText& text_of(Rule rule);
/// Null if no rule has that name.
[[nodiscard]] const RuleText* find_rule(std::string_view name);
/// "error"
[[nodiscard]] const char* to_text(Severity severity);

}  // namespace strumwright::diagnosis
