// app/command_line.cpp
#include "app/command_line.h"

#include <deque>
#include <ostream>

#include <CLI/CLI.hpp>

namespace strumwright {
namespace {

using commands::Binding;
using commands::Command;
using commands::Exit;
using commands::Prepared;
using commands::Streams;

/// Declares one binding to the library; a positional argument has no dash.
CLI::Option* declare(CLI::App& app, const Binding& binding) {
  const auto with = [&](auto* target) -> CLI::Option* {
    using Target = std::remove_pointer_t<decltype(target)>;
    if constexpr (std::is_same_v<Target, bool>) {
      return app.add_flag(binding.name, *target, binding.help);
    } else if constexpr (std::is_same_v<Target, commands::MaybeValue>) {
      auto* option = app.add_option_function<std::vector<std::string>>(
          binding.name,
          [target](const std::vector<std::string>& values) {
            target->given = true;
            if (!values.empty()) target->value = values.front();
          },
          binding.help);
      return option->expected(0, 1);
    } else {
      return app.add_option(binding.name, *target, binding.help);
    }
  };
  auto* option = std::visit(with, binding.target);
  // A list option takes one value each time it is said, and leaves the next word alone.
  const bool list = std::holds_alternative<std::vector<std::string>*>(binding.target);
  if (list && binding.name[0] == '-') option->allow_extra_args(false);
  if (binding.required) option->required();
  if (!binding.choices.empty()) option->check(CLI::IsMember(binding.choices));
  return option;
}

void declare_all(CLI::App& app, const Prepared& prepared, const char* examples) {
  for (const auto& binding : prepared.bindings) declare(app, binding);
  app.footer(examples);
}

/// An answer that did not reach its reader is a failure, whatever it said.
Exit delivered(Exit exit, Streams& streams) {
  const bool failed_already = exit != Exit::fine && exit != Exit::found;
  if (failed_already || streams.out.flush()) return exit;
  return commands::fail(
      streams.err,
      {"the output could not be written", "stdout", "check the disk, or what reads the pipe"},
      Exit::output);
}

/// What was wrong, in our words where the library's are those of a programmer.
std::string in_words(const CLI::ParseError& error) {
  std::string what = error.what();
  while (!what.empty() && (what.back() == '\n' || what.back() == '.')) what.pop_back();
  for (auto& character : what) {
    if (character == '\n') character = ' ';
  }
  const auto colon = what.rfind(": ");
  const std::string detail = colon == std::string::npos ? what : what.substr(colon + 2);
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr) {
    return "'" + detail + "' is no command or option here";
  }
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr) {
    return what.substr(0, what.find(':')) + " lacks its value";
  }
  if (dynamic_cast<const CLI::ConversionError*>(&error) != nullptr) {
    return "this value cannot be read: " + detail;
  }
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr) {
    return what.substr(0, what.find(' ')) + " is missing";
  }
  return what;
}

/// One line with a way on.
Exit complain(const CLI::ParseError& error, const std::string& command, Streams& streams) {
  const std::string what = in_words(error);
  const std::string help =
      command.empty() ? "strumwright --help" : "strumwright " + command + " --help";
  return commands::usage(streams.err, what + "; `" + help + "` shows what goes");
}

Exit parse_and_run(const std::vector<std::string>& arguments, std::span<const Command> table,
                   const Command& window, Streams& streams) {
  CLI::App app(window.summary, "strumwright");
  app.set_help_flag("-h,--help", "Show this help");
  app.set_version_flag("--version", "strumwright " STRUMWRIGHT_VERSION);
  const Prepared window_prepared = window.prepare();
  declare_all(app, window_prepared, window.examples);

  std::deque<std::pair<CLI::App*, Prepared>> subcommands;
  for (const auto& command : table) {
    auto* sub = app.add_subcommand(command.name, command.summary);
    sub->set_help_flag("-h,--help", "Show this help");
    subcommands.emplace_back(sub, command.prepare());
    declare_all(*sub, subcommands.back().second, command.examples);
  }
  app.require_subcommand(0, 1);

  std::string chosen;
  try {
    std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
    for (const auto& command : table) {
      if (!arguments.empty() && arguments.front() == command.name) chosen = command.name;
    }
    app.parse(reversed);
  } catch (const CLI::CallForHelp&) {
    const auto used = app.get_subcommands();
    streams.out << (used.empty() ? app.help() : used.front()->help());
    return Exit::fine;
  } catch (const CLI::CallForVersion& version) {
    streams.out << version.what() << '\n';
    return Exit::fine;
  } catch (const CLI::ParseError& error) {
    return complain(error, chosen, streams);
  }
  for (const auto& [sub, prepared] : subcommands) {
    if (sub->parsed()) return prepared.run(streams);
  }
  return window_prepared.run(streams);
}

}  // namespace

Exit run_command_line(const std::vector<std::string>& arguments, std::span<const Command> table,
                      const Command& window, Streams& streams) {
  return delivered(parse_and_run(arguments, table, window, streams), streams);
}

}  // namespace strumwright
