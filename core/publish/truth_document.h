// core/publish/truth_document.h
#pragma once

#include <cstdint>
#include <string>

#include "core/simulation/simulator.h"

namespace strumwright::publish {

/// What a simulation really played and put in, as `simulate --truth` writes it: JSON, one line.
[[nodiscard]] std::string truth_document(std::uint64_t seed,
                                         const simulation::Simulator& simulator);

}  // namespace strumwright::publish
