// app/commands/simulate.cpp
#include <algorithm>
#include <charconv>
#include <ostream>

#include "app/commands/rows.h"
#include "app/io/clock.h"
#include "app/io/files.h"
#include "app/io/output.h"
#include "app/io/sender.h"
#include "core/publish/truth_document.h"
#include "core/session/capture_writer.h"
#include "core/session/input_reader.h"
#include "core/simulation/simulator.h"

namespace strumwright::commands {
namespace {

using simulation::SimulationOptions;
using simulation::Simulator;

struct Options {
  std::vector<std::string> faults;
  std::optional<std::int64_t> seed;
  std::optional<std::int64_t> strokes;
  std::optional<double> for_seconds;
  std::string release;
  bool running_status = false;
  std::string truth;
  std::string output;
  std::string port;
  std::string own_port;
  std::string raw;
};

constexpr double default_seconds = 60.0;
constexpr double default_rate = 0.1;

std::string rule_list() {
  std::string list;
  for (const auto rule : simulation::simulated_rules()) {
    list += (list.empty() ? "" : ", ") + std::string(diagnosis::text_of(rule).name);
  }
  return list;
}

/// "note.stuck" or "note.stuck:0.2".
Result<simulation::FaultRate> parse_fault(const std::string& text) {
  const auto colon = text.find(':');
  const auto* rule = diagnosis::find_rule(text.substr(0, colon));
  const bool known =
      rule != nullptr && simulation::place_of(rule->rule) != simulation::FaultPlace::never;
  if (!known) {
    return Error{"this fault cannot be simulated", "--fault " + printable(text),
                 "these can: " + rule_list()};
  }
  simulation::FaultRate fault{rule->rule, default_rate};
  if (colon == std::string::npos) return fault;
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data() + colon + 1, end, fault.rate);
  if (read.ec != std::errc() || read.ptr != end || !(fault.rate > 0 && fault.rate <= 1)) {
    return Error{
        "the rate is the chance a stroke", "--fault " + printable(text),
        "give a number above 0 and up to 1, for instance " + std::string(rule->name) + ":0.2"};
  }
  return fault;
}

Result<SimulationOptions> parse(const Options& options) {
  SimulationOptions simulation;
  simulation.seed = static_cast<std::uint64_t>(options.seed.value_or(1));
  simulation.running_status = options.running_status;
  simulation.keep_truth = !options.truth.empty();
  if (options.release == "note-off") simulation.release = simulation::ReleaseStyle::note_off;
  if (options.strokes) simulation.strokes = static_cast<std::uint64_t>(*options.strokes);
  if (options.for_seconds || !options.strokes) {
    const double seconds = options.for_seconds.value_or(default_seconds);
    simulation.duration_ns = static_cast<std::int64_t>(seconds * 1e9);
  }
  for (const auto& text : options.faults) {
    const auto fault = parse_fault(text);
    if (!fault) return fault.error();
    simulation.faults.push_back(*fault);
  }
  return simulation;
}

session::InputHeader header() {
  session::InputHeader header;
  // The same seed gives the same file, so it must not say when it was made.
  header.started = "1970-01-01T00:00:00Z";
  header.sources.push_back({"SIMULATED Heron", true, wire::Grade::byte, std::nullopt, true});
  return header;
}

/// Turns chunks into the text or bytes of a file of one kind.
class Formatter {
 public:
  explicit Formatter(session::InputKind kind) : kind_(kind) {}

  [[nodiscard]] std::string begin() const {
    return kind_ == session::InputKind::capture ? session::header_line(header()) : std::string();
  }

  [[nodiscard]] std::string chunk(const Simulator::Chunk& chunk) const {
    std::string text;
    if (kind_ == session::InputKind::capture) {
      session::Entry entry;
      entry.t_ns = chunk.t_ns;
      entry.bytes = chunk.bytes;
      session::append_line(entry, text);
    } else if (kind_ == session::InputKind::bin) {
      text.append(reinterpret_cast<const char*>(chunk.bytes.data()), chunk.bytes.size());
    } else {
      append_hex(chunk.bytes, text);
    }
    return text;
  }

  [[nodiscard]] std::string end(std::int64_t t_ns) const {
    std::string text;
    if (kind_ != session::InputKind::capture) return text;
    session::Entry entry;
    entry.kind = session::Entry::Kind::end;
    entry.t_ns = t_ns;
    session::append_line(entry, text);
    return text;
  }

 private:
  static void append_hex(std::span<const std::uint8_t> bytes, std::string& text) {
    constexpr const char* digits = "0123456789abcdef";
    for (const auto byte : bytes) {
      text += digits[byte >> 4U];
      text += digits[byte & 15U];
      text += ' ';
    }
    if (!text.empty()) text.back() = '\n';
  }

  session::InputKind kind_;
};

Result<Done> put(session::ByteSink& sink, const std::string& text) {
  return sink.write({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
}

Result<Done> write_file(Simulator& simulator, session::InputKind kind, const std::string& path,
                        const Streams& io) {
  auto file = io::FileSink::create(path);
  if (!file) return file.error();
  const Formatter format(kind);
  Result<Done> done = put(**file, format.begin());
  std::int64_t last_ns = 0;
  while (done && !io.stop_asked()) {
    const auto chunk = simulator.next();
    if (!chunk) break;
    last_ns = chunk->t_ns;
    done = put(**file, format.chunk(*chunk));
  }
  if (done) done = put(**file, format.end(std::max(simulator.end_ns(), last_ns)));
  return done ? (*file)->close() : done;
}

bool to_output(const Options& options) {
  return !options.port.empty() || !options.own_port.empty() || !options.raw.empty();
}

io::OpenedOutput open_asked(const Options& options) {
  if (!options.port.empty()) return io::open_output(options.port);
  if (!options.own_port.empty()) return io::open_virtual_output(options.own_port);
  return io::open_raw_output(options.raw);
}

/// Plays to an output in real time; releases what it started, however it ends.
Exit play(Simulator& simulator, const Options& options, Streams& io) {
  auto output = open_asked(options);
  if (!output) return fail(io.err, output.error(), Exit::device);
  io::Sender sender(std::move(*output));
  constexpr std::int64_t ahead_ns = 50'000'000;
  const std::int64_t start_ns = io::now_ns() + ahead_ns;
  while (const auto chunk = simulator.next()) {
    const std::int64_t t_ns = start_ns + chunk->t_ns;
    while (io::now_ns() < t_ns - ahead_ns && !io.stop_asked()) {
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    if (io.stop_asked()) break;
    sender.send_at(t_ns, chunk->bytes);
  }
  if (io.stop_asked()) sender.release_all();
  sender.drain();
  const auto error = sender.take_error();
  if (error.empty()) return Exit::fine;
  return fail(io.err, {error, sender.name(), "`strumwright ports` lists what there is"},
              Exit::device);
}

std::optional<std::string> complaint(const Options& options) {
  const auto given = {!options.output.empty(), !options.port.empty(), !options.own_port.empty(),
                      !options.raw.empty()};
  if (std::count(given.begin(), given.end(), true) != 1) {
    return "say where to, one of -o FILE, --port NAME, --own-port NAME, --raw DEVICE";
  }
  if (options.seed && *options.seed < 0) return "--seed takes a whole number from 0 up";
  if (options.strokes && *options.strokes < 1) return "--strokes takes a whole number from 1 up";
  if (options.for_seconds && !(*options.for_seconds > 0 && *options.for_seconds < 1e6)) {
    return "--for takes seconds above 0";
  }
  return std::nullopt;
}

Exit run(const Options& options, Streams& io) {
  if (const auto wrong = complaint(options)) return usage(io.err, *wrong);
  const auto simulation = parse(options);
  if (!simulation) return fail(io.err, simulation.error(), Exit::usage);
  Simulator simulator(*simulation);
  Exit exit = Exit::fine;
  if (to_output(options)) {
    exit = play(simulator, options, io);
  } else {
    const auto kind = session::kind_by_ending(options.output);
    if (kind != session::InputKind::capture && kind != session::InputKind::bin &&
        kind != session::InputKind::hex) {
      return usage(io.err, printable(options.output) +
                               ": simulate writes .jsonl, .bin and .hex; choose one of these");
    }
    const auto done = write_file(simulator, *kind, options.output, io);
    if (!done) return fail(io.err, done.error(), Exit::output);
  }
  if (options.truth.empty()) return exit;
  auto truth = io::FileSink::create(options.truth);
  if (!truth) return fail(io.err, truth.error(), Exit::output);
  auto done = put(**truth, publish::truth_document(simulation->seed, simulator));
  if (done) done = (*truth)->close();
  return done ? exit : fail(io.err, done.error(), Exit::output);
}

}  // namespace

Command simulate_command() {
  return command<Options>(
      "simulate", "Play the simulated Heron to a file or a port, with faults on purpose",
      "Examples:\n"
      "  strumwright simulate -o clean.jsonl                      a minute without a fault\n"
      "  strumwright simulate --fault note.stuck:0.2 -o bad.jsonl --truth bad.json\n"
      "  strumwright simulate --seed 7 --running-status -o dump.hex\n"
      "  strumwright simulate --port synth                        in real time to a MIDI output\n"
      "The same seed gives the same bytes. A rate is the chance a stroke, 0.1 if not said; faults "
      "keep\n"
      "their distance so that each can be told from the next, so dense ones come less often.",
      {parameter("--fault", &Options::faults, "RULE or RULE:RATE, as often as you like"),
       parameter("--seed", &Options::seed, "of all chance; 1 if not said"),
       parameter("--strokes", &Options::strokes, "stop after so many strokes"),
       parameter("--for", &Options::for_seconds, "stop after so many seconds; 60 if not said"),
       choice("--release", &Options::release, {"velocity-zero", "note-off"},
              "how a note is released"),
       parameter("--running-status", &Options::running_status, "leave out repeated status bytes"),
       parameter("--truth", &Options::truth, "write what was really played to this JSON file"),
       parameter("-o,--output", &Options::output, "the file to write: .jsonl, .bin or .hex"),
       parameter("--port", &Options::port, "the MIDI output to play to"),
       parameter("--own-port", &Options::own_port,
                 "play from an output of our own by this name, for others to connect to"),
       parameter("--raw", &Options::raw,
                 "play to a serial line, a raw MIDI device file, a pseudo-terminal or a FIFO")},
      run);
}

}  // namespace strumwright::commands
