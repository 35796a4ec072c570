// app/io/name_match.h
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

#include "core/result.h"

namespace strumwright::io {

/// A port's name without the numbers that ALSA appends ("Heron H-02 20:0") and that change with
/// each plug: by it a port is known again.
[[nodiscard]] std::string_view lasting_name(std::string_view name);

/// Which of `names` a user means: without regard to case the full name or the lasting one, else the
/// only one that contains it. Among equal names (twins of one model) the first.
/// Errors: none or several fit; the sentence lists the near ones. `kind` is "MIDI input" or alike.
[[nodiscard]] Result<std::size_t> find_name(std::span<const std::string> names,
                                            std::string_view wanted, std::string_view kind);

}  // namespace strumwright::io
