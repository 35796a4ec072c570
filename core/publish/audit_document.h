// core/publish/audit_document.h
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "core/pipeline/pipeline.h"
#include "core/publish/finding_list.h"
#include "core/publish/json_writer.h"
#include "core/result.h"
#include "core/session/byte_source.h"
#include "core/session/input_reader.h"

namespace strumwright::publish {

/// Holds text until a document needs it; the app's keeps much of it on disk.
class TextStore {
 public:
  virtual ~TextStore() = default;
  virtual Result<Done> append(std::string_view text) = 0;
  virtual Result<Done> copy_to(session::ByteSink& sink) = 0;
};

/// What an audit says of its input besides what the pipeline knows.
struct AuditInput {
  std::string path;
  session::InputKind kind = session::InputKind::capture;
  bool torn = false;
  bool interrupted = false;  ///< by Ctrl-C: completed from what was read
};

/// Gathers what the pipeline finds for one audit document.
///
/// Strums and chords go to the stores as they come, so that memory does not grow with the input;
/// without stores (a summary) they are only counted. Thread: the pipeline's.
class AuditCollector : public pipeline::Sink {
 public:
  AuditCollector() = default;
  AuditCollector(TextStore& strums, TextStore& chords) : strums_(&strums), chords_(&chords) {}

  void stroke(const pipeline::JudgedStroke& judged) override;
  void chord(const pipeline::ChordChange& change) override;
  void finding(const diagnosis::Finding& finding) override { findings_.add(finding); }

  [[nodiscard]] const FindingList& findings() const { return findings_; }
  [[nodiscard]] std::uint64_t strum_count() const { return strum_count_; }
  /// A store that could not take more.
  [[nodiscard]] const std::optional<Error>& failure() const { return failure_; }
  [[nodiscard]] TextStore* strums() const { return strums_; }
  [[nodiscard]] TextStore* chords() const { return chords_; }

 protected:
  /// Appends to a store; its first failure is remembered.
  void keep(TextStore& store, std::string_view text);

 private:
  void keep_element(TextStore& store, bool first);

  TextStore* strums_ = nullptr;
  TextStore* chords_ = nullptr;
  FindingList findings_;
  std::uint64_t strum_count_ = 0;
  std::uint64_t chord_count_ = 0;
  std::string text_;
  std::optional<Error> failure_;
};

/// Writes the audit document and `ending`. The pipeline has finished.
Result<Done> write_audit(const AuditInput& input, const pipeline::Pipeline& pipeline,
                         const AuditCollector& collector, session::ByteSink& sink,
                         std::string_view ending = "\n");

/// The members of one finding, strum and chord change, as documents and `listen --json` have them;
/// the caller has opened the object. Their `t_ns` is the caller's to write.
void write_finding_members(const diagnosis::Finding& finding, JsonWriter& json);
void write_strum_members(const pipeline::JudgedStroke& judged, JsonWriter& json);
void write_chord_members(const pipeline::ChordChange& change, JsonWriter& json);

}  // namespace strumwright::publish
