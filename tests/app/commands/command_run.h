// tests/app/commands/command_run.h
#pragma once

#include <sstream>
#include <string>
#include <vector>

#include "app/command_line.h"
#include "app/commands/table.h"

namespace strumwright::test {

/// What one run of the command line came to.
struct Ran {
  commands::Exit exit{};
  std::string out;
  std::string err;
};

inline Ran run(const std::vector<std::string>& arguments, const std::string& in = "") {
  std::istringstream input(in);
  std::ostringstream out;
  std::ostringstream err;
  commands::Streams streams{input, out, err};
  const auto exit = run_command_line(arguments, commands::table(), commands::window(), streams);
  return {exit, out.str(), err.str()};
}

}  // namespace strumwright::test
