// core/session/capture_writer.h
#pragma once

#include <string>

#include "core/session/entry.h"

namespace strumwright::session {

/// The first line of a capture file, with its newline.
[[nodiscard]] std::string header_line(const InputHeader& header);

/// Appends one entry as a line with its newline. Long chunks become several lines.
void append_line(const Entry& entry, std::string& text);

}  // namespace strumwright::session
