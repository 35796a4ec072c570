// app/commands/command.cpp
#include "app/commands/command.h"

#include <ostream>

namespace strumwright::commands {

Exit fail(std::ostream& err, const Error& error, Exit exit) {
  err << "strumwright: ";
  if (!error.where.empty()) err << error.where << ": ";
  err << error.what;
  if (!error.remedy.empty()) err << "; " << error.remedy;
  err << '\n';
  return exit;
}

Exit usage(std::ostream& err, std::string_view sentence) {
  err << "strumwright: " << sentence << '\n';
  return Exit::usage;
}

}  // namespace strumwright::commands
