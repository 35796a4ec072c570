// app/commands/listen.cpp
#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <filesystem>
#include <mutex>
#include <ostream>
#include <thread>

#include "app/commands/audit_text.h"
#include "app/commands/left_sessions.h"
#include "app/commands/rows.h"
#include "app/commands/sources.h"
#include "app/engine/bench.h"
#include "app/io/files.h"
#include "app/io/places.h"
#include "app/io/source.h"
#include "core/publish/audit_document.h"

namespace strumwright::commands {
namespace {

using publish::JsonWriter;
using session::Entry;

struct Options {
  std::string port;
  std::string serial;
  std::optional<std::int64_t> baud;
  std::string raw;
  std::string own_port;
  MaybeValue simulate;
  std::string record;
  std::optional<double> keep_last_minutes;
  std::optional<double> for_seconds;
  bool json = false;
};

/// Lines from the bench thread to ours, so that a slow terminal never holds up the bench.
class LineQueue {
 public:
  /// A terminal that takes nothing must not eat the memory; the document has everything.
  static constexpr std::size_t most_lines = 100'000;

  void put(std::string line) {
    const std::lock_guard lock(mutex_);
    if (lines_.size() == most_lines) {
      lines_.pop_front();
      ++dropped_;
    }
    lines_.push_back(std::move(line));
    changed_.notify_one();
  }

  /// What has come, after at most `patience`; empty if nothing.
  std::deque<std::string> take(std::chrono::milliseconds patience) {
    std::unique_lock lock(mutex_);
    changed_.wait_for(lock, patience, [&] { return !lines_.empty(); });
    return std::exchange(lines_, {});
  }

  std::uint64_t dropped() {
    const std::lock_guard lock(mutex_);
    return dropped_;
  }

 private:
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::string> lines_;
  std::uint64_t dropped_ = 0;
};

/// Says what happens as it happens, and gathers for the audit at the end.
class LiveListener : public engine::Listener {
 public:
  LiveListener(LineQueue& queue, bool json, std::vector<session::SourceInfo> sources)
      : queue_(&queue), json_(json), sources_(std::move(sources)), collector_(strums_, chords_) {}

  void stroke(const pipeline::JudgedStroke& judged) override {
    collector_.stroke(judged);
    if (!judged.stroke.is_strum()) return;
    if (!json_) return queue_->put(strum_line(judged));
    put("strum", judged.stroke.start_ns,
        [&](JsonWriter& json) { publish::write_strum_members(judged, json); });
  }

  void chord(const pipeline::ChordChange& change) override {
    collector_.chord(change);
    if (!json_) return queue_->put(chord_line(change));
    put("chord", change.t_ns,
        [&](JsonWriter& json) { publish::write_chord_members(change, json); });
  }

  void finding(const diagnosis::Finding& finding) override {
    collector_.finding(finding);
    if (!json_) return queue_->put(finding_line(finding));
    put("finding", finding.t_ns,
        [&](JsonWriter& json) { publish::write_finding_members(finding, json); });
  }

  void entry(const Entry& entry) override {
    switch (entry.kind) {
      case Entry::Kind::mark:
        return say_mark(entry);
      case Entry::Kind::lost:
        return say_lost(entry);
      case Entry::Kind::gone:
        return say_link(entry, "gone");
      case Entry::Kind::back:
        return say_link(entry, "linked");
      case Entry::Kind::chunk:
      case Entry::Kind::settings:
      case Entry::Kind::end:
        return;
    }
  }

  /// The sources as they were opened.
  void say_sources() {
    for (std::size_t src = 0; src < sources_.size(); ++src) {
      Entry entry;
      entry.src = static_cast<std::uint16_t>(src);
      say_link(entry, "linked");
    }
  }

  [[nodiscard]] const publish::AuditCollector& collector() const { return collector_; }

 private:
  template <class Members>
  void put(const char* event, std::int64_t t_ns, const Members& members) {
    std::string line;
    JsonWriter json(line);
    json.begin_object();
    json.member("event", event);
    json.member("t_ns", t_ns);
    members(json);
    json.end_object();
    queue_->put(std::move(line));
  }

  void say_mark(const Entry& entry) {
    if (!json_) return queue_->put(clock_text(entry.t_ns) + "  mark     " + printable(entry.text));
    put("mark", entry.t_ns, [&](JsonWriter& json) { json.member("text", entry.text); });
  }

  void say_lost(const Entry& entry) {
    if (!json_) {
      return queue_->put(clock_text(entry.t_ns) + "  lost     " + std::to_string(entry.lost) +
                         " were dropped on the way in");
    }
    put("lost", entry.t_ns, [&](JsonWriter& json) {
      json.member("src", entry.src);
      json.member("lost", entry.lost);
    });
  }

  void say_link(const Entry& entry, const char* link) {
    const auto& source = sources_[entry.src];
    if (!json_) {
      return queue_->put(clock_text(entry.t_ns) + "  source   " + printable(source.name) + ", " +
                         (source.raw ? "raw bytes" : "whole messages") + ", timing " +
                         wire::to_text(source.timing) + ", " + link);
    }
    put("source", entry.t_ns, [&](JsonWriter& json) {
      json.member("src", entry.src);
      json.member("name", source.name);
      json.member("raw", source.raw);
      json.member("timing", wire::to_text(source.timing));
      json.member("simulated", source.simulated);
      json.member("link", link);
    });
  }

  LineQueue* queue_;
  bool json_;
  std::vector<session::SourceInfo> sources_;
  io::TempStore strums_;
  io::TempStore chords_;
  publish::AuditCollector collector_;
};

io::OpenedSource open_asked(const Options& options) {
  if (!options.port.empty()) return open_source("port:" + options.port);
  if (!options.serial.empty()) {
    return io::open_serial(options.serial, static_cast<int>(options.baud.value_or(io::midi_baud)));
  }
  if (!options.raw.empty()) return open_source("raw:" + options.raw);
  if (!options.own_port.empty()) return open_source("virtual:" + options.own_port);
  return open_source("");
}

/// A recording must not take the place of one that is there, nor pass for a file of another kind.
std::optional<std::string> record_complaint(const std::string& path) {
  if (path.empty()) return std::nullopt;
  const auto kind = session::kind_by_ending(path);
  if (kind && *kind != session::InputKind::capture) {
    return "--record writes a capture; let " + printable(path) + " end in .jsonl";
  }
  std::error_code none;
  const bool there = std::filesystem::is_regular_file(path, none);
  if (there && std::filesystem::file_size(path, none) > 0) {
    return printable(path) + " is there already; choose another name for the recording";
  }
  return std::nullopt;
}

std::optional<std::string> complaint(const Options& options) {
  const auto given = {!options.port.empty(), !options.serial.empty(), !options.raw.empty(),
                      !options.own_port.empty(), options.simulate.given};
  if (std::count(given.begin(), given.end(), true) > 1) {
    return "only one source at a time: one of --port, --serial, --raw, --own-port, --simulate";
  }
  if (std::count(given.begin(), given.end(), true) == 0) {
    return "say what to listen to: one of --port, --serial, --raw, --own-port, --simulate; "
           "`strumwright ports` "
           "lists what there is";
  }
  if (!options.simulate.value.empty() && options.simulate.value != "heron") {
    return "only the Heron can be simulated: say --simulate, or --simulate heron";
  }
  if (options.baud && (*options.baud < 50 || *options.baud > 4'000'000)) {
    return "--baud takes 50 to 4000000; a MIDI line has 31250";
  }
  if (options.baud && options.serial.empty()) return "--baud goes with --serial";
  if (options.for_seconds && !(*options.for_seconds > 0)) return "--for takes seconds above 0";
  if (options.keep_last_minutes &&
      (!(*options.keep_last_minutes > 0) || *options.keep_last_minutes > 15)) {
    return "--keep-last takes minutes above 0 and up to 15, which is what the bench always holds";
  }
  return record_complaint(options.record);
}

/// One run of the command.
class Listening {
 public:
  Listening(const Options& options, Streams& io) : options_(&options), io_(&io) {}

  Exit run() {
    auto source = open_asked(*options_);
    if (!source) return fail(io_->err, source.error(), Exit::device);
    const auto info = (*source)->info();
    LiveListener listener(queue_, options_->json, {info});
    engine::Bench bench(bench_setup());
    engine::SessionSetup setup;
    setup.sources.push_back(std::move(*source));
    setup.record_to = options_->record;
    setup.listener = &listener;
    listener.say_sources();
    if (auto started = bench.start(std::move(setup)); !started) {
      return fail(io_->err, started.error(),
                  bench.recording_refused() ? Exit::output : Exit::device);
    }
    const bool interrupted = !follow(bench);
    if (options_->keep_last_minutes) bench.keep("listen", *options_->keep_last_minutes);
    bench.stop();
    print(queue_.take(std::chrono::milliseconds(0)));
    say_notices(bench);
    return finish(*bench.finished_pipeline(), listener,
                  {info.name, session::InputKind::capture, false, interrupted});
  }

 private:
  engine::BenchSetup bench_setup() {
    engine::BenchSetup setup;
    const auto directory = io::data_directory();
    if (auto writable = io::make_writable(directory); !writable) {
      fail(io_->err, writable.error(), Exit::fine);
      return setup;
    }
    setup.data_directory = directory;
    for (const auto& notice : save_left_sessions(directory)) {
      io_->err << "strumwright: " << printable(notice.text) << '\n';
    }
    return setup;
  }

  /// Prints until the time is over or the source ended (true), or the user stops it (false).
  bool follow(engine::Bench& bench) {
    using Clock = std::chrono::steady_clock;
    const auto start = Clock::now();
    while (!io_->stop_asked()) {
      print(queue_.take(std::chrono::milliseconds(50)));
      say_notices(bench);
      if (!bench.running()) return true;
      const std::chrono::duration<double> passed = Clock::now() - start;
      if (options_->for_seconds && passed.count() >= *options_->for_seconds) return true;
      if (!io_->out.good()) return true;
    }
    return false;
  }

  void print(const std::deque<std::string>& lines) {
    for (const auto& line : lines) io_->out << line << '\n';
    if (!lines.empty()) io_->out.flush();
  }

  void say_notices(engine::Bench& bench) {
    for (const auto& notice : bench.take_notices()) {
      if (!notice.failed && notice.file == options_->record) recorded_ = true;
      io_->err << "strumwright: " << printable(notice.text) << '\n';
    }
  }

  Exit finish(const pipeline::Pipeline& pipeline, const LiveListener& listener,
              const publish::AuditInput& input) {
    if (const auto dropped = queue_.dropped(); dropped > 0) {
      io_->err << "strumwright: " << dropped << " lines were not printed in time\n";
    }
    io::StreamSink sink(io_->out, "stdout");
    Result<Done> done = Done{};
    if (options_->json) {
      io_->out << "{\"event\":\"audit\",\"document\":";
      done = publish::write_audit(input, pipeline, listener.collector(), sink, "");
      io_->out << "}\n";
    } else {
      io_->out << '\n' << audit_text(input, pipeline, listener.collector());
    }
    if (done) done = sink.flush();
    if (!done) return fail(io_->err, done.error(), Exit::output);
    if (!options_->record.empty() && !recorded_) return Exit::output;  // a notice said why
    return listener.collector().findings().counts().error > 0 ? Exit::found : Exit::fine;
  }

  const Options* options_;
  Streams* io_;
  LineQueue queue_;
  bool recorded_ = false;  ///< the recording was closed in good order
};

Exit run(const Options& options, Streams& io) {
  if (const auto wrong = complaint(options)) return usage(io.err, *wrong);
  return Listening(options, io).run();
}

}  // namespace

Command listen_command() {
  return command<Options>(
      "listen", "Judge what a controller sends, live, in the terminal",
      "Examples:\n"
      "  strumwright listen --simulate --for 8                the Heron that needs no hardware\n"
      "  strumwright listen --port harp                       a MIDI port by (part of) its name\n"
      "  strumwright listen --serial /dev/ttyUSB0             raw bytes: shows running status too\n"
      "  strumwright listen --raw /dev/snd/midiC1D0 --json    JSON Lines, the audit at the end\n"
      "  strumwright listen --port harp --record evening.jsonl\n"
      "Ctrl-C ends it; the audit is completed from what came.",
      {parameter("--port", &Options::port, "a MIDI input by its name, or a part that only it has"),
       parameter("--serial", &Options::serial, "a serial line, for instance /dev/ttyUSB0"),
       parameter("--baud", &Options::baud, "of the serial line; 31250 if not said"),
       parameter("--raw", &Options::raw, "a raw MIDI device file, a pseudo-terminal or a FIFO"),
       parameter("--own-port", &Options::own_port,
                 "open an input of our own by this name, for other programs to connect to"),
       parameter("--simulate", &Options::simulate,
                 "the simulated Heron, our demo instrument with 24 strings and 7 buttons"),
       parameter("--record", &Options::record, "write everything to this capture file (.jsonl)"),
       parameter("--keep-last", &Options::keep_last_minutes,
                 "at the end keep the last so many minutes (at most 15) in the data folder"),
       parameter("--for", &Options::for_seconds, "stop after so many seconds"),
       parameter("--json", &Options::json, "JSON Lines, one event each; the audit is the last")},
      run);
}

}  // namespace strumwright::commands
