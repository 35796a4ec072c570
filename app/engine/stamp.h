// app/engine/stamp.h
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace strumwright::engine {

/// "20260131-180000": UTC, good in a file name.
[[nodiscard]] std::string file_stamp(std::int64_t unix_seconds);
/// "2026-01-31T18:00:00Z"
[[nodiscard]] std::string iso_stamp(std::int64_t unix_seconds);
/// What of a label may stand in a file name: ASCII letters, digits, `-`; at most 40 of them.
[[nodiscard]] std::string file_word(std::string_view label);

}  // namespace strumwright::engine
