// app/commands/sources.cpp
#include "app/commands/sources.h"

#include "app/engine/simulated_source.h"

namespace strumwright::commands {

io::OpenedSource open_source(std::string_view address) {
  const auto colon = address.find(':');
  const auto kind = address.substr(0, colon);
  const auto name = colon == std::string_view::npos ? "" : address.substr(colon + 1);
  if (kind == "port") return io::open_port(name);
  if (kind == "virtual") return io::open_virtual(name);
  if (kind == "serial") return io::open_serial(name, io::midi_baud);
  if (kind == "raw") return io::open_raw(name);
  // A new tune at each start would make two pictures of one first start differ.
  return io::OpenedSource(
      std::make_unique<engine::SimulatedSource>(simulation::SimulationOptions{}));
}

}  // namespace strumwright::commands
