// tests/core/pipeline/session_text.h
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/pipeline/pipeline.h"
#include "core/session/entry.h"

namespace strumwright::test {

/// An entry that owns its bytes.
struct OwnedEntry {
  session::Entry entry;
  std::vector<std::uint8_t> bytes;
};

using Session = std::vector<OwnedEntry>;

OwnedEntry chunk(std::int64_t t_ns, std::vector<std::uint8_t> bytes, std::uint16_t src = 0);
OwnedEntry other(session::Entry::Kind kind, std::int64_t t_ns, std::uint16_t src = 0);

session::SourceInfo raw_source(wire::Grade grade = wire::Grade::byte);
session::SourceInfo message_source();

/// The audit document of a session, whole, as text. `advances` are extra calls of `advance`, in
/// ascending order; each is made before the first entry that is not earlier.
std::string audit(const std::vector<session::SourceInfo>& sources, const Session& session,
                  const std::vector<std::int64_t>& advances = {});

/// "note.stuck warning 100 200" a finding: rule, severity, t, decided, joined by newlines.
std::string findings(const std::vector<session::SourceInfo>& sources, const Session& session);

}  // namespace strumwright::test
