// app/main.cpp
#include <atomic>
#include <csignal>
#include <iostream>
#include <string>
#include <vector>

#include <unistd.h>

#include "app/command_line.h"
#include "app/commands/table.h"
#include "app/io/signals.h"
#include "app/io/wakeable_input.h"

int main(int count, char** words) {
  strumwright::io::fill_closed_standard_descriptors();
  // A reader that goes away is a failed write, said in a sentence, not a death.
  static_cast<void>(std::signal(SIGPIPE, SIG_IGN));
  std::ios::sync_with_stdio(false);
  std::atomic<bool> interrupted = false;
  strumwright::io::Wake stop;
  const strumwright::io::Signals signals([&](int) {
    interrupted = true;
    stop.call();
  });
  strumwright::io::WakeableInput input(STDIN_FILENO, stop);
  std::istream in(&input);
  strumwright::commands::Streams streams{in, std::cout, std::cerr, isatty(STDERR_FILENO) != 0,
                                         &interrupted};
  const std::vector<std::string> arguments(words + 1, words + count);
  const auto exit = strumwright::run_command_line(arguments, strumwright::commands::table(),
                                                  strumwright::commands::window(), streams);
  return static_cast<int>(exit);
}
