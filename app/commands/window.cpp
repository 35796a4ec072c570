// app/commands/window.cpp
#include "app/window/window.h"

#include <chrono>
#include <ctime>
#include <ostream>
#include <thread>

#include "app/commands/left_sessions.h"
#include "app/commands/rows.h"
#include "app/commands/sources.h"
#include "app/engine/bench.h"
#include "app/io/places.h"
#include "app/io/settings.h"
#include "app/io/source_watch.h"
#include "core/session/input_reader.h"

namespace strumwright::commands {
namespace {

namespace fs = std::filesystem;

struct Options {
  std::string area;
  std::optional<std::int64_t> scale_percent;
  std::string theme;
  std::string port;
  std::string open;
  MaybeValue simulate;
  std::string size;
  std::optional<double> after_seconds;
  std::string screenshot;
  std::string state;
  bool safe = false;
};

std::vector<std::string> area_names() {
  std::vector<std::string> names;
  for (const auto& area : screens::areas()) names.emplace_back(area.name);
  return names;
}

std::optional<std::pair<int, int>> parse_size(const std::string& text) {
  const auto cross = text.find('x');
  if (cross == std::string::npos) return std::nullopt;
  const auto number = [](const std::string& digits) {
    const bool fine = !digits.empty() && digits.size() < 6 &&
                      digits.find_first_not_of("0123456789") == std::string::npos;
    return fine ? std::stoi(digits) : 0;
  };
  const std::pair size(number(text.substr(0, cross)), number(text.substr(cross + 1)));
  if (size.first < 320 || size.second < 240 || size.first > 16384 || size.second > 16384) {
    return std::nullopt;
  }
  return size;
}

std::optional<std::string> complaint(const Options& options) {
  if (options.scale_percent && (*options.scale_percent < 80 || *options.scale_percent > 250)) {
    return "--scale takes 80 to 250 (percent)";
  }
  if (!options.size.empty() && !parse_size(options.size)) {
    return "--size takes WIDTHxHEIGHT, for instance 1280x800";
  }
  if (options.after_seconds && !(*options.after_seconds >= 0 && *options.after_seconds < 1e6)) {
    return "--after takes seconds from 0 up";
  }
  if (!options.screenshot.empty() && !options.after_seconds) {
    return "--screenshot goes with --after SECONDS";
  }
  const int sources = static_cast<int>(!options.port.empty()) +
                      static_cast<int>(!options.open.empty()) +
                      static_cast<int>(options.simulate.given);
  if (sources > 1) return "say one of --port, --open, --simulate";
  if (!options.simulate.value.empty() && options.simulate.value != "heron") {
    return "only the Heron can be simulated: say --simulate, or --simulate heron";
  }
  return std::nullopt;
}

/// "2026-01-31-180000", UTC: names a recording.
std::string time_name() {
  const std::time_t now = std::time(nullptr);
  std::tm parts{};
  gmtime_r(&now, &parts);
  char text[32];
  return {text, std::strftime(text, sizeof text, "%Y-%m-%d-%H%M%S", &parts)};
}

/// One run of the window, from its settings to its settings.
class WindowRun {
 public:
  WindowRun(const Options& options, Streams& io) : options_(&options), io_(&io) {}

  Exit run() {
    read_settings();
    engine::Bench bench(bench_setup());
    if (const Exit opened = open_first(bench); opened != Exit::fine) return opened;
    if (!options_->after_seconds) {
      for (const auto& notice : save_left_sessions(io::data_directory())) bench.say(notice);
    }
    std::jthread stop_watch([this](const std::stop_token& token) { watch_for_stop(token); });
    const auto outcome = window::run_window(window_options(), bench, actions(bench), bell_);
    bench.stop();
    if (!outcome) return fail(io_->err, outcome.error(), exit_of(outcome.error()));
    write_settings(*outcome);
    return Exit::fine;
  }

 private:
  void read_settings() {
    if (options_->safe) return;
    auto read = io::read_settings(settings_file());
    if (!read) {
      fail(io_->err, read.error(), Exit::fine);
    } else {
      settings_ = *read;
    }
  }

  /// Pictures for documents must not change what comes back at the next real start.
  void write_settings(const window::WindowOutcome& outcome) {
    if (options_->safe || options_->after_seconds) return;
    settings_.area = screens::text_of(outcome.area).name;
    settings_.scale_percent = outcome.scale_percent;
    settings_.light = outcome.light;
    settings_.source = source_;
    if (auto written = io::write_settings(settings_file(), settings_); !written) {
      fail(io_->err, written.error(), Exit::fine);
    }
  }

  static fs::path settings_file() { return io::settings_directory() / "settings.json"; }

  engine::BenchSetup bench_setup() {
    engine::BenchSetup setup;
    setup.spool = settings_.spool;
    setup.wake = [this] { bell_.ring(); };
    const auto directory = io::data_directory();
    if (auto writable = io::make_writable(directory); !writable) {
      fail(io_->err, writable.error(), Exit::fine);
    } else {
      setup.data_directory = directory;
    }
    return setup;
  }

  /// What was asked for; else what was open last, if it is there; else the simulated Heron.
  Exit open_first(engine::Bench& bench) {
    if (!options_->open.empty()) return open_recording(bench);
    if (!options_->port.empty()) {
      const auto started = start(bench, "port:" + options_->port);
      return started ? Exit::fine : fail(io_->err, started.error(), Exit::device);
    }
    const bool last = !settings_.source.empty() && !options_->simulate.given;
    if (last && start(bench, settings_.source)) return Exit::fine;
    const auto simulated = start(bench, "");
    return simulated ? Exit::fine : fail(io_->err, simulated.error(), Exit::device);
  }

  Exit open_recording(engine::Bench& bench) {
    const auto kind = session::kind_by_ending(options_->open);
    if (!kind) {
      return usage(io_->err, printable(options_->open) +
                                 ": its kind cannot be told from its name; rename it to end in "
                                 ".jsonl, .bin, .hex or .txt");
    }
    const auto opened = bench.open_recording(options_->open, *kind);
    return opened ? Exit::fine : fail(io_->err, opened.error(), Exit::usage);
  }

  Result<Done> start(engine::Bench& bench, const std::string& address) {
    auto source = open_source(address);
    if (!source) return source.error();
    engine::SessionSetup setup;
    setup.sources.push_back(std::move(*source));
    auto started = bench.start(std::move(setup));
    if (started) source_ = address;
    return started;
  }

  /// Another source from the list; if it cannot be opened, the simulated Heron plays on.
  void switch_to(engine::Bench& bench, const std::string& address) {
    auto started = start(bench, address);
    if (started) return;
    if (!bench.running()) static_cast<void>(start(bench, ""));
    bench.say(engine::notice_of(started.error()));
  }

  window::WindowActions actions(engine::Bench& bench) {
    window::WindowActions actions;
    actions.start_simulation = [this, &bench] { switch_to(bench, ""); };
    actions.new_recording = [] {
      const auto folder = io::data_directory() / "recordings";
      static_cast<void>(io::make_writable(folder));
      return folder / (time_name() + ".jsonl");
    };
    actions.list_sources = [this] {
      std::vector<screens::SourceChoice> choices;
      for (auto& source : sources_.list()) {
        choices.push_back(
            {std::move(source.address), std::move(source.name), std::move(source.detail)});
      }
      return choices;
    };
    actions.open_source = [this, &bench](const std::string& address) { switch_to(bench, address); };
    return actions;
  }

  window::WindowOptions window_options() const {
    window::WindowOptions options;
    const std::string area = options_->area.empty() ? settings_.area : options_->area;
    options.area = screens::find_area(area).value_or(screens::Area::hear);
    options.scale_percent = options_->scale_percent ? static_cast<int>(*options_->scale_percent)
                                                    : settings_.scale_percent;
    options.light = options_->theme.empty() ? settings_.light : options_->theme == "light";
    if (const auto size = parse_size(options_->size)) {
      options.width = size->first;
      options.height = size->second;
    }
    options.after_s = options_->after_seconds;
    options.screenshot = options_->screenshot;
    options.state = options_->state;
    return options;
  }

  /// A signal only sets a flag; this carries it to the window.
  void watch_for_stop(const std::stop_token& token) {
    while (!token.stop_requested()) {
      if (io_->stop_asked()) return bell_.ask_to_close();
      std::this_thread::sleep_for(std::chrono::milliseconds(100));
    }
  }

  /// Pictures and states that could not be written are the output's fault, the rest the display's.
  Exit exit_of(const Error& error) const {
    const bool output = error.where == options_->screenshot || error.where == options_->state;
    return output && !error.where.empty() ? Exit::output : Exit::device;
  }

  const Options* options_;
  Streams* io_;
  io::Settings settings_;
  std::string source_;
  window::WindowBell bell_;
  io::SourceWatch sources_{[this] { bell_.ring(); }};
};

/// Without a display the same bench runs in the terminal, so that a first start shows something.
Exit run_in_terminal(Streams& io) {
  io.err << "strumwright: no display answers, so the bench runs in the terminal for 8 s; "
            "`strumwright listen --help` shows more\n";
  const auto listen = listen_command().prepare();
  for (const auto& binding : listen.bindings) {
    if (binding.name == std::string_view("--simulate")) {
      std::get<MaybeValue*>(binding.target)->given = true;
    }
    if (binding.name == std::string_view("--for")) {
      *std::get<std::optional<double>*>(binding.target) = 8.0;
    }
  }
  return listen.run(io);
}

Exit run(const Options& options, Streams& io) {
  if (const auto wrong = complaint(options)) return usage(io.err, *wrong);
  const bool wants_picture = options.after_seconds.has_value();
  const bool plain = options.port.empty() && options.open.empty() && !wants_picture;
  if (plain && !window::display_answers()) return run_in_terminal(io);
  return WindowRun(options, io).run();
}

}  // namespace

Command window_command() {
  return command<Options>(
      "", "Strumwright: judge what a strummed MIDI controller sends, live",
      "Examples:\n"
      "  strumwright                        the window; with no hardware the simulated Heron "
      "plays\n"
      "  strumwright --port harp            listens to a MIDI port by (part of) its name\n"
      "  strumwright --open evening.jsonl   looks at a recording\n"
      "  strumwright COMMAND --help         what a command does, by example",
      {choice("--area", &Options::area, area_names(), "the area to open"),
       parameter("--scale", &Options::scale_percent, "size of everything, 80 to 250 percent"),
       choice("--theme", &Options::theme, {"dark", "light"}, "the colours"),
       parameter("--port", &Options::port, "a MIDI input by its name, or a part of it"),
       parameter("--open", &Options::open, "a recording to look at"),
       parameter("--simulate", &Options::simulate,
                 "the simulated Heron, our demo instrument, whatever was open last"),
       parameter("--size", &Options::size, "of the window, for instance 1280x800"),
       parameter("--after", &Options::after_seconds, "wait so many seconds, write, and end"),
       parameter("--screenshot", &Options::screenshot, "with --after: write a picture (PNG)"),
       parameter("--state", &Options::state, "write what is on screen to this JSON file"),
       parameter("--safe", &Options::safe, "start without the saved settings")},
      run);
}

}  // namespace strumwright::commands
