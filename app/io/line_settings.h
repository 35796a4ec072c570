// app/io/line_settings.h
#pragma once

#include "core/result.h"

namespace strumwright::io {

/// Makes a terminal line carry bytes unchanged (raw, 8 bits, no parity, one stop bit, no flow
/// control) at any rate, 31,250 baud among them, which is none of the standard ones.
///
/// Returns the rate that the driver says it set: some take 9,600 in silence. `fd` is a terminal.
/// Errors: the error number of the system, in `what` as a sentence.
[[nodiscard]] Result<int> set_raw_line(int fd, int baud);

}  // namespace strumwright::io
