// app/screens/focus.h
#pragma once

#include <span>
#include <string>

#include "app/screens/parts/canvas.h"

namespace strumwright::screens {

/// The target that Tab (or, `backwards`, Shift Tab) goes to from `current`, in the order in which
/// the frame drew them; the first or last if `current` is not among them. Empty without targets.
[[nodiscard]] std::string next_focus(std::span<const Target> targets, const std::string& current,
                                     bool backwards);

}  // namespace strumwright::screens
