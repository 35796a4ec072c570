// core/session/stream_tail.h
#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace strumwright::session {

/// What a reader that joins a byte stream here would have to know: the running status, and what has
/// come of the message under way. A copyable value for one source.
/// Source: MIDI 1.0 Detailed Specification 4.2 (running status; real-time bytes disturb nothing).
class StreamTail {
 public:
  StreamTail() = default;
  /// From what `bytes` gave.
  explicit StreamTail(std::span<const std::uint8_t> bytes) { push(bytes); }

  void push(std::span<const std::uint8_t> bytes);
  /// Input was lost, or the port went.
  void clear() { *this = StreamTail(); }

  /// The bytes that restate it: none, a status, or a status and one data byte; F0 inside SysEx.
  [[nodiscard]] std::vector<std::uint8_t> bytes() const;

 private:
  void push(std::uint8_t byte);
  void push_data(std::uint8_t byte);

  std::uint8_t status_ = 0;
  std::uint8_t data_ = 0;
  bool has_data_ = false;
};

/// Whether a stream that goes on with `bytes` needs `restated` before them to be understood: its
/// first byte below F8 is data, or ends the SysEx that `restated` began. None: real-time bytes
/// only, so it is still open.
enum class Continues : std::uint8_t { yes, no, open };
[[nodiscard]] Continues continues(std::span<const std::uint8_t> restated,
                                  std::span<const std::uint8_t> bytes);

}  // namespace strumwright::session
