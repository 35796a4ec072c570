// tests/core/pipeline/session_support.cpp
#include <memory>

#include "tests/core/pipeline/session_text.h"

#include "core/diagnosis/finding_text.h"
#include "core/publish/audit_document.h"

namespace strumwright::test {
namespace {

class MemoryStore : public publish::TextStore {
 public:
  Result<Done> append(std::string_view text) override {
    text_ += text;
    return Done{};
  }
  Result<Done> copy_to(session::ByteSink& sink) override {
    return sink.write({reinterpret_cast<const std::uint8_t*>(text_.data()), text_.size()});
  }

 private:
  std::string text_;
};

class MemorySink : public session::ByteSink {
 public:
  Result<Done> write(std::span<const std::uint8_t> bytes) override {
    text.append(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    return Done{};
  }
  std::string text;
};

}  // namespace

OwnedEntry chunk(std::int64_t t_ns, std::vector<std::uint8_t> bytes, std::uint16_t src) {
  OwnedEntry owned;
  owned.entry.t_ns = t_ns;
  owned.entry.src = src;
  owned.bytes = std::move(bytes);
  return owned;
}

OwnedEntry other(session::Entry::Kind kind, std::int64_t t_ns, std::uint16_t src) {
  OwnedEntry owned;
  owned.entry.kind = kind;
  owned.entry.t_ns = t_ns;
  owned.entry.src = src;
  return owned;
}

session::SourceInfo raw_source(wire::Grade grade) {
  return {"line", true, grade, std::nullopt, false};
}

session::SourceInfo message_source() {
  return {"port", false, wire::Grade::message, std::nullopt, false};
}

namespace {

void feed(pipeline::Pipeline& pipeline, const Session& session,
          const std::vector<std::int64_t>& advances) {
  std::size_t next = 0;
  for (const auto& owned : session) {
    while (next < advances.size() && advances[next] <= owned.entry.t_ns) {
      pipeline.advance(advances[next++]);
    }
    session::Entry entry = owned.entry;
    entry.bytes = owned.bytes;
    pipeline.push(entry);
  }
  pipeline.finish();
}

}  // namespace

std::string audit(const std::vector<session::SourceInfo>& sources, const Session& session,
                  const std::vector<std::int64_t>& advances) {
  MemoryStore strums;
  MemoryStore chords;
  publish::AuditCollector collector(strums, chords);
  pipeline::Pipeline pipeline(sources, {}, collector);
  feed(pipeline, session, advances);
  MemorySink sink;
  const auto written = publish::write_audit({"session", session::InputKind::capture, false, false},
                                            pipeline, collector, sink);
  return written ? sink.text : "not written: " + written.error().what;
}

std::string findings(const std::vector<session::SourceInfo>& sources, const Session& session) {
  publish::AuditCollector collector;
  pipeline::Pipeline pipeline(sources, {}, collector);
  feed(pipeline, session, {});
  std::string text;
  for (const auto& finding : collector.findings().in_order()) {
    if (!text.empty()) text += '\n';
    text += std::string(diagnosis::text_of(finding.rule).name) + ' ' +
            diagnosis::to_text(finding.severity) + ' ' + std::to_string(finding.t_ns) + ' ' +
            std::to_string(finding.decided_ns);
  }
  return text;
}

}  // namespace strumwright::test
