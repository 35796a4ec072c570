// core/session/capture_writer.h
#pragma once

#include <cstddef>
#include <string>

#include "core/session/entry.h"

namespace strumwright::session {

/// The most bytes in a line (ours): its digits stay well below `limits::line_bytes`.
inline constexpr std::size_t line_chunk_bytes = std::size_t{256} << 10U;

/// The first line of a capture file, with its newline. `header` names at least one source.
[[nodiscard]] std::string header_line(const InputHeader& header);

/// Appends one entry as a line with its newline.
///
/// A chunk stays one line: only that keeps its meaning, as a later chunk may begin before the last
/// byte had its time on the wire. A chunk of more than `line_chunk_bytes` (84 s of wire) becomes
/// lines that follow at wire speed; the entry after it must then not be earlier than the last.
void append_line(const Entry& entry, std::string& text);

}  // namespace strumwright::session
