// app/screens/parts/outside_text.h
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace strumwright::screens {

/// Text that came from outside (port names, file names, marks), made fit for one line of ours.
///
/// Control characters and runs of space become one space; direction marks and characters without
/// width, which could reorder or hide what stands beside them, go; bad UTF-8 and what our fonts
/// lack become "?". At most `most` characters, then "…".
[[nodiscard]] std::string outside_text(std::string_view text, std::size_t most = 200);

}  // namespace strumwright::screens
