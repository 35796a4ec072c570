// app/commands/audit.cpp
#include <chrono>
#include <memory>
#include <ostream>

#include "app/commands/audit_text.h"
#include "app/commands/rows.h"
#include "app/io/files.h"
#include "core/pipeline/pipeline.h"
#include "core/publish/audit_document.h"
#include "core/session/input_reader.h"

namespace strumwright::commands {
namespace {

struct Options {
  std::vector<std::string> inputs;
  std::string as;
  bool summary = false;
  bool json = false;
};

/// A failure and the code to leave with.
struct Failure {
  Error error;
  Exit exit;
};

/// What one audit came to: its text waits in a store until all inputs are known to be good.
struct Outcome {
  std::optional<Failure> failure;
  bool has_errors = false;
};

/// Tells how far a long read has come, on a terminal only.
class Progress {
 public:
  Progress(Streams& io, const io::FileSource* file) : io_(&io), file_(file) {}
  ~Progress() {
    if (shown_) io_->err << "\r\033[K" << std::flush;
  }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void step() {
    if (!io_->progress || file_ == nullptr || ++steps_ % 4096 != 0) return;
    const auto now = std::chrono::steady_clock::now();
    if (now - last_ < std::chrono::milliseconds(250)) return;
    last_ = now;
    shown_ = true;
    io_->err << "\rread " << static_cast<int>(file_->progress() * 100) << " %" << std::flush;
  }

 private:
  Streams* io_;
  const io::FileSource* file_;
  std::uint64_t steps_ = 0;
  std::chrono::steady_clock::time_point last_ = std::chrono::steady_clock::now();
  bool shown_ = false;
};

/// Reads every entry into the pipeline; false when the user stopped it.
Result<bool> feed(session::InputReader& reader, pipeline::Pipeline& pipeline, Progress& progress,
                  Streams& io) {
  for (;;) {
    auto entry = reader.next();
    // A stop ends a pipe wherever it stands, in the middle of a number too.
    if (!entry && !io.stop_asked()) return entry.error();
    if (!entry || !*entry) return !io.stop_asked();
    pipeline.push(**entry);
    progress.step();
    if (io.stop_asked()) return false;
  }
}

class Audit {
 public:
  Audit(const Options& options, Streams& io) : options_(&options), io_(&io) {}

  Outcome run(const std::string& path, io::TempStore& document) {
    const auto kind =
        options_->as.empty() ? session::kind_by_ending(path) : session::kind_by_name(options_->as);
    std::unique_ptr<io::FileSource> file;
    io::StreamSource standard_input(io_->in);
    if (path != "-") {
      auto opened = io::FileSource::open(path);
      if (!opened) return refuse(opened.error());
      file = std::move(*opened);
    }
    if (!kind) return refuse(unknown_kind(path));
    session::ByteSource& bytes = file ? static_cast<session::ByteSource&>(*file) : standard_input;
    auto reader = session::open_input(*kind, path == "-" ? "stdin" : path, bytes,
                                      session::text_reading_by_name(options_->as));
    if (!reader) return refuse(reader.error());
    Progress progress(*io_, file.get());
    return judge(path, **reader, progress, document);
  }

 private:
  Outcome refuse(Error error) const {
    error.where = printable(error.where);
    return {Failure{error, Exit::usage}, false};
  }

  Error unknown_kind(const std::string& path) const {
    if (!options_->as.empty()) {
      return {"there is no kind '" + options_->as + "'", path,
              "--as takes capture, bin, hex, text or a reading of a text such as text-hex"};
    }
    return {"its kind cannot be told from its name", path, "say --as capture, bin, hex or text"};
  }

  Outcome judge(const std::string& path, session::InputReader& reader, Progress& progress,
                io::TempStore& document) {
    io::TempStore strums;
    io::TempStore chords;
    const bool lists = !options_->summary;
    std::unique_ptr<publish::AuditCollector> collector;
    if (!options_->json) {
      collector = std::make_unique<TextCollector>(lists ? &strums : nullptr);
    } else if (lists) {
      collector = std::make_unique<publish::AuditCollector>(strums, chords);
    } else {
      collector = std::make_unique<publish::AuditCollector>();
    }
    for (const auto& remark : reader.header().remarks) {
      io_->err << "strumwright: " << printable(path) << ": " << remark << '\n';
    }
    pipeline::Pipeline pipeline(reader.header().sources, {}, *collector);
    const auto whole = feed(reader, pipeline, progress, *io_);
    if (!whole) return refuse(whole.error());
    pipeline.finish();
    warn_if_torn(path, reader);
    const publish::AuditInput input{path, reader.header().kind, reader.torn_at().has_value(),
                                    !*whole};
    return write(input, pipeline, *collector, strums, document);
  }

  void warn_if_torn(const std::string& path, const session::InputReader& reader) const {
    if (const auto offset = reader.torn_at()) {
      io_->err << "strumwright: " << printable(path) << ", byte " << *offset
               << ": the last line is torn and was left out; all before it was read\n";
    }
  }

  Outcome write(const publish::AuditInput& input, const pipeline::Pipeline& pipeline,
                const publish::AuditCollector& collector, io::TempStore& lines,
                io::TempStore& document) const {
    io::StoreSink sink(document);
    Result<Done> done = Done{};
    if (options_->json) {
      done = publish::write_audit(input, pipeline, collector, sink);
    } else if (collector.failure()) {
      done = *collector.failure();
    } else {
      done = lines.copy_to(sink);
      if (done) done = document.append(audit_text(input, pipeline, collector));
    }
    if (!done) return {Failure{done.error(), Exit::output}, false};
    return {std::nullopt, collector.findings().counts().error > 0};
  }

  const Options* options_;
  Streams* io_;
};

Exit put_out(std::vector<io::TempStore>& documents, bool json, Streams& io) {
  io::StreamSink sink(io.out, "stdout");
  const bool list = json && documents.size() > 1;
  Result<Done> done = Done{};
  const auto put = [&](std::string_view text) {
    if (done) done = sink.write({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  };
  if (list) put("{\"documents\":[");
  for (std::size_t i = 0; i < documents.size(); ++i) {
    if (i > 0) put(list ? "," : "\n");
    if (done) done = documents[i].copy_to(sink);
  }
  if (list) put("]}\n");
  if (done) done = sink.flush();
  return done ? Exit::fine : fail(io.err, done.error(), Exit::output);
}

Exit run(const Options& options, Streams& io) {
  std::vector<io::TempStore> documents(options.inputs.size());
  bool has_errors = false;
  for (std::size_t i = 0; i < options.inputs.size(); ++i) {
    const auto outcome = Audit(options, io).run(options.inputs[i], documents[i]);
    if (outcome.failure) return fail(io.err, outcome.failure->error, outcome.failure->exit);
    has_errors = has_errors || outcome.has_errors;
  }
  const Exit exit = put_out(documents, options.json, io);
  return exit == Exit::fine && has_errors ? Exit::found : exit;
}

}  // namespace

Command audit_command() {
  return command<Options>(
      "audit", "Judge recordings: bytes, messages, notes, chords, strums, findings",
      "Examples:\n"
      "  strumwright audit evening.jsonl             what a session held, and what was wrong\n"
      "  strumwright audit dump.hex --json           the same as one JSON document\n"
      "  strumwright audit big.bin --summary         figures and findings only\n"
      "  xxd -p dump | strumwright audit - --as hex  from another program\n"
      "Leaves with 1 if a finding is an error, 2 if an input cannot be read.",
      {required("INPUT", &Options::inputs, "recordings: .jsonl .bin .hex .txt, or - for stdin"),
       parameter("--as", &Options::as,
                 "the kind, whatever the name: capture, bin, hex, text, text-hex ..."),
       parameter("--summary", &Options::summary, "leave out strums, chords and onsets"),
       parameter("--json", &Options::json, "one JSON document")},
      run);
}

}  // namespace strumwright::commands
