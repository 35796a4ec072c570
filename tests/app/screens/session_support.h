// tests/app/screens/session_support.h
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "app/engine/history.h"
#include "app/engine/now_state.h"
#include "app/screens/snapshot.h"

namespace strumwright::screens {

/// A session as the engine would show it, filled by hand: chords of many notes, doubles, a note
/// that hangs, findings of every severity.
class FilledSession {
 public:
  FilledSession();
  bool can_release = true;  ///< an output is open
  [[nodiscard]] Snapshot snapshot() const;

  /// Adds a final strum of `count` notes a third apart from `lowest`, `gap_ns` between them.
  void add_strum(std::uint8_t lowest, int count, std::int64_t gap_ns, bool up, bool faulty);

  std::unique_ptr<engine::Now> now = std::make_unique<engine::Now>();
  std::unique_ptr<engine::History> history = std::make_unique<engine::History>();
};

/// A session in which strums, a change of chord, a hanging note and findings happened.
[[nodiscard]] FilledSession busy_session();
/// A session before anything came.
[[nodiscard]] FilledSession silent_session();

/// Adds bytes of every kind in no order, end to end but for some gaps, parsed as a source's are.
void fill_with_noise(FilledSession& session, int bytes);

/// Names that port and file names may bring from outside.
[[nodiscard]] const std::vector<std::string>& hostile_names();

}  // namespace strumwright::screens
