// app/commands/command.h
#pragma once

#include <atomic>
#include <functional>
#include <iosfwd>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "core/result.h"

namespace strumwright::commands {

/// How the program leaves; what each means stands in the README.
enum class Exit : int { fine = 0, found = 1, usage = 2, device = 3, output = 4 };

/// What a command reads and writes; handed in, so that a test needs no process.
struct Streams {
  std::istream& in;
  std::ostream& out;
  std::ostream& err;
  bool progress = false;                           ///< stderr is a terminal
  const std::atomic<bool>* interrupted = nullptr;  ///< Ctrl-C or SIGTERM came; null: cannot

  [[nodiscard]] bool stop_asked() const { return interrupted != nullptr && interrupted->load(); }
};

/// An option that may stand without a value, as in `--simulate` and `--simulate heron`.
struct MaybeValue {
  bool given = false;
  std::string value;
};

/// One argument, option or flag, bound to where its value goes.
struct Binding {
  using Target = std::variant<bool*, std::string*, std::vector<std::string>*,
                              std::optional<double>*, std::optional<std::int64_t>*, MaybeValue*>;
  const char* name;  ///< "--json", or "INPUT" for a positional argument
  const char* help;
  Target target;
  bool required = false;
  std::vector<std::string> choices;  ///< if not empty: the only values allowed
};

/// A command ready to be parsed into and run.
struct Prepared {
  std::vector<Binding> bindings;
  std::function<Exit(Streams&)> run;
};

/// One row of the command table.
struct Command {
  const char* name;
  const char* summary;   ///< one line, for the list
  const char* examples;  ///< teaches by example, after the options
  std::function<Prepared()> prepare;
};

/// An argument, option or flag of `Options`, before there is one.
template <class Options>
using Parameter = std::function<Binding(Options&)>;

/// `--name VALUE`, `--name` (a bool) or `NAME` (a positional argument), by its first character.
template <class Options, class Member>
Parameter<Options> parameter(const char* name, Member Options::*member, const char* help) {
  return [=](Options& options) { return Binding{name, help, &(options.*member), false, {}}; };
}

template <class Options, class Member>
Parameter<Options> required(const char* name, Member Options::*member, const char* help) {
  return [=](Options& options) { return Binding{name, help, &(options.*member), true, {}}; };
}

template <class Options, class Member>
Parameter<Options> choice(const char* name, Member Options::*member,
                          std::vector<std::string> choices, const char* help) {
  return [=](Options& options) { return Binding{name, help, &(options.*member), false, choices}; };
}

template <class Options>
Command command(const char* name, const char* summary, const char* examples,
                std::vector<Parameter<Options>> parameters, Exit (*run)(const Options&, Streams&)) {
  return {name, summary, examples, [parameters = std::move(parameters), run] {
            auto options = std::make_shared<Options>();
            Prepared prepared;
            for (const auto& parameter : parameters) {
              prepared.bindings.push_back(parameter(*options));
            }
            prepared.run = [options, run](Streams& streams) { return run(*options, streams); };
            return prepared;
          }};
}

/// "strumwright: WHERE: WHAT; REMEDY" as one line on `err`; gives `exit` back.
Exit fail(std::ostream& err, const Error& error, Exit exit);
Exit usage(std::ostream& err, std::string_view sentence);

}  // namespace strumwright::commands
