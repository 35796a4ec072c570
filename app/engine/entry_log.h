// app/engine/entry_log.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <vector>

#include "core/session/entry.h"

namespace strumwright::engine {

/// Entries with their bytes and texts, packed one after another: what waits for the recorder.
class EntryLog {
 public:
  void append(const session::Entry& entry) {
    const Head head{entry.t_ns,
                    entry.lost,
                    static_cast<std::uint32_t>(entry.bytes.size()),
                    static_cast<std::uint32_t>(entry.text.size()),
                    entry.settings,
                    entry.src,
                    entry.kind,
                    entry.out};
    const std::size_t at = memory_.size();
    memory_.resize(at + sizeof head + head.bytes + head.text);
    std::memcpy(&memory_[at], &head, sizeof head);
    if (head.bytes > 0) std::memcpy(&memory_[at + sizeof head], entry.bytes.data(), head.bytes);
    if (head.text > 0) {
      std::memcpy(&memory_[at + sizeof head + head.bytes], entry.text.data(), head.text);
    }
  }

  /// Moves what `other` holds to the end of this.
  void take(EntryLog& other) {
    memory_.insert(memory_.end(), other.memory_.begin(), other.memory_.end());
    other.clear();
  }

  /// Calls `take` with each entry in order and its place, which is what `size_bytes` was before it.
  /// An entry's views are good until the log changes.
  template <class Take>
  void for_each(Take&& take) const {
    for (std::size_t at = 0; at < memory_.size();) {
      const std::size_t place = at;
      Head head{};
      std::memcpy(&head, &memory_[at], sizeof head);
      at += sizeof head;
      session::Entry entry;
      entry.t_ns = head.t_ns;
      entry.lost = head.lost;
      entry.settings = head.settings;
      entry.src = head.src;
      entry.kind = head.kind;
      entry.out = head.out;
      const std::uint8_t* from = memory_.data() + at;
      entry.bytes = {from, head.bytes};
      entry.text = {reinterpret_cast<const char*>(from) + head.bytes, head.text};
      at += head.bytes + head.text;
      take(entry, place);
    }
  }

  [[nodiscard]] bool empty() const { return memory_.empty(); }
  [[nodiscard]] std::size_t size_bytes() const { return memory_.size(); }
  /// Keeps its memory.
  void clear() { memory_.clear(); }

 private:
  struct Head {
    std::int64_t t_ns = 0;
    std::int64_t lost = 0;
    std::uint32_t bytes = 0;
    std::uint32_t text = 0;
    session::Settings settings;
    std::uint16_t src = 0;
    session::Entry::Kind kind{};
    bool out = false;
  };

  std::vector<std::uint8_t> memory_;
};

}  // namespace strumwright::engine
