// app/commands/sources.h
#pragma once

#include <string>
#include <string_view>

#include "app/io/source.h"

namespace strumwright::commands {

/// Opens what settings and the source list call a source: "port:NAME", "serial:DEVICE" (at 31,250
/// baud), "raw:PATH", "virtual:NAME" (a port of our own); empty: the simulated Heron.
[[nodiscard]] io::OpenedSource open_source(std::string_view address);

}  // namespace strumwright::commands
