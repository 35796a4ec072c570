// app/engine/bench.cpp
#include "app/engine/bench.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "app/engine/disk_file.h"
#include "app/engine/file_run.h"
#include "app/engine/live_run.h"
#include "app/engine/stamp.h"
#include "core/session/capture_writer.h"

namespace strumwright::engine {

namespace {

constexpr double most_keep_minutes = 15.0;

std::int64_t unix_seconds() {
  return std::chrono::duration_cast<std::chrono::seconds>(
             std::chrono::system_clock::now().time_since_epoch())
      .count();
}

/// "H-02", or "H-02, H-03" for several.
std::string joined(const LiveRun::Sources& sources, std::string (*of)(const io::Source&)) {
  std::string text;
  for (const auto& source : sources) {
    const std::string part = of(*source);
    if (text.empty()) {
      text = part;
    } else if (!part.empty()) {
      text += ", " + part;
    }
  }
  return text;
}

}  // namespace

Bench::Bench(BenchSetup setup) : setup_(std::move(setup)) {}

Bench::~Bench() { stop(); }

RunSetup Bench::run_setup(std::string name, std::string detail, Listener* listener) {
  return {++epoch_, version(),  std::move(name), std::move(detail),
          listener, setup_.log, setup_.wake};
}

Result<RecorderSetup> Bench::recorder_setup(const SessionSetup& setup) const {
  RecorderSetup recorder;
  recorder.unix_start_seconds = unix_seconds();
  recorder.header.started = iso_stamp(recorder.unix_start_seconds);
  for (const auto& source : setup.sources) recorder.header.sources.push_back(source->info());
  recorder.settings = setup.settings;
  recorder.data_directory = setup_.data_directory;
  recorder.spool = setup_.spool;
  if (setup.record_to.empty()) return recorder;
  auto file = DiskFile::create(setup.record_to);
  if (!file) return file.error();
  file->text() = session::header_line(recorder.header);
  recorder.recording.emplace(std::move(*file));
  return recorder;
}

Result<Done> Bench::start(SessionSetup setup) {
  stop();
  auto recorder = recorder_setup(setup);
  recording_refused_ = !recorder;
  if (!recorder) return recorder.error();
  auto name = joined(setup.sources, [](const io::Source& source) { return source.info().name; });
  auto detail = joined(setup.sources, [](const io::Source& source) { return source.detail(); });
  auto run =
      std::make_unique<LiveRun>(run_setup(std::move(name), std::move(detail), setup.listener),
                                std::move(setup.sources), setup.settings, std::move(*recorder));
  if (auto started = run->start(); !started) return started;
  run_ = std::move(run);
  return Done{};
}

Result<Done> Bench::open_recording(const std::filesystem::path& file, session::InputKind kind,
                                   Listener* listener) {
  stop();
  auto recording = open_recording_file(file, kind);
  if (!recording) return recording.error();
  auto setup = run_setup(file.filename().string(), session::to_text(kind), listener);
  auto run = std::make_unique<FileRun>(std::move(setup), std::move(*recording));
  run->start();
  run_ = std::move(run);
  return Done{};
}

void Bench::stop() {
  if (!run_) return;
  run_->stop();
  for (auto& notice : run_->take_notices()) notices_.push_back(std::move(notice));
}

bool Bench::running() const { return run_ && run_->running(); }

const Now& Bench::now() { return run_ ? run_->now() : nothing_; }

const History& Bench::history() const { return run_ ? run_->history() : no_history_; }

std::uint64_t Bench::version() const { return run_ ? run_->version() : 0; }

std::int64_t Bench::clock_ns() const { return run_ ? run_->clock_ns() : 0; }

void Bench::ask(Command command) {
  if (!running()) return;
  command.t_ns = run_->clock_ns();
  run_->ask(std::move(command));
}

void Bench::mark(std::string_view text) {
  Command command;
  command.text = text;
  ask(std::move(command));
}

void Bench::say(const Notice& notice) {
  Command command;
  command.what = Command::What::say;
  command.text = notice.text;
  command.file = notice.file;
  command.failed = notice.failed;
  ask(std::move(command));
}

void Bench::keep(std::string_view label, double minutes) {
  Command command;
  command.what = Command::What::keep;
  command.text = label;
  command.length_ns = static_cast<std::int64_t>(std::clamp(minutes, 0.0, most_keep_minutes) * 60e9);
  ask(std::move(command));
}

void Bench::start_recording(const std::filesystem::path& file) {
  Command command;
  command.what = Command::What::start_recording;
  command.file = file;
  ask(std::move(command));
}

void Bench::stop_recording() {
  Command command;
  command.what = Command::What::stop_recording;
  ask(std::move(command));
}

void Bench::set(const session::Settings& settings) {
  Command command;
  command.what = Command::What::settings;
  command.settings = settings;
  ask(std::move(command));
}

std::vector<Notice> Bench::take_notices() {
  auto notices = std::exchange(notices_, {});
  if (run_) {
    for (auto& notice : run_->take_notices()) notices.push_back(std::move(notice));
  }
  return notices;
}

const pipeline::Pipeline* Bench::finished_pipeline() const {
  return run_ && !run_->running() ? &run_->pipeline() : nullptr;
}

}  // namespace strumwright::engine
