// core/session/spool_state.h
#pragma once

#include <cstddef>
#include <vector>

#include "core/session/entry.h"
#include "core/session/stream_tail.h"

namespace strumwright::session {

/// What a capture that begins here must be told of what came before: settings in force, sources
/// that are gone, and where each source's byte stream stands. A copyable value.
class SpoolState {
 public:
  explicit SpoolState(std::size_t source_count, Settings settings = {});
  SpoolState(std::size_t source_count, const Carried& carried);

  void push(const Entry& entry);

  [[nodiscard]] const Settings& settings() const { return settings_; }
  [[nodiscard]] bool is_gone(std::size_t src) const { return gone_[src]; }
  [[nodiscard]] std::vector<std::uint8_t> open(std::size_t src) const {
    return tails_[src].bytes();
  }
  [[nodiscard]] Carried carried() const;

 private:
  Settings settings_;
  std::vector<bool> gone_;
  std::vector<StreamTail> tails_;
};

}  // namespace strumwright::session
