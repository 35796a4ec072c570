// app/commands/audit_text.h
#pragma once

#include <string>

#include "core/pipeline/pipeline.h"
#include "core/publish/audit_document.h"

namespace strumwright::commands {

/// "1,482"
[[nodiscard]] std::string grouped(std::uint64_t number);
/// "01:24.3", minutes, seconds and tenths.
[[nodiscard]] std::string clock_text(std::int64_t t_ns);
/// One line each, without a newline, for terminals.
[[nodiscard]] std::string strum_line(const pipeline::JudgedStroke& judged);
[[nodiscard]] std::string chord_line(const pipeline::ChordChange& change);
[[nodiscard]] std::string finding_line(const diagnosis::Finding& finding);

/// Gathers for people: strums and chords as lines.
class TextCollector : public publish::AuditCollector {
 public:
  /// Null: a summary, without lines.
  explicit TextCollector(publish::TextStore* lines) : lines_(lines) {}

  void stroke(const pipeline::JudgedStroke& judged) override;
  void chord(const pipeline::ChordChange& change) override;

 private:
  publish::TextStore* lines_;
};

/// The figures and findings of a finished audit, as lines.
[[nodiscard]] std::string audit_text(const publish::AuditInput& input,
                                     const pipeline::Pipeline& pipeline,
                                     const publish::AuditCollector& collector);

}  // namespace strumwright::commands
