// core/limits.h
#pragma once

#include <cstddef>

/// What hostile input may make the bench hold (ours; chosen so that no honest recording meets
/// them).
namespace strumwright::limits {

inline constexpr std::size_t sysex_kept_bytes = 256;  ///< then only counted
inline constexpr std::size_t json_depth = 16;
inline constexpr std::size_t line_bytes = 1U << 24U;  ///< of a text or JSON Lines input
inline constexpr std::size_t label_characters = 200;
inline constexpr std::size_t stroke_onsets = 1024;  ///< then only counted
inline constexpr std::size_t findings_listed_per_rule = 1000;
inline constexpr std::size_t sources = 64;
inline constexpr std::size_t decisions_waiting =
    4096;  ///< of a kind; then the oldest is taken early

}  // namespace strumwright::limits
