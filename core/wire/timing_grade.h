// core/wire/timing_grade.h
#pragma once

#include <cstdint>
#include <limits>

namespace strumwright::wire {

/// How far the times of a source can be trusted, best first.
enum class Grade : std::uint8_t { wire, byte, message, batched, none };

/// Whether timed rules can be judged.
constexpr bool can_time(Grade grade) { return grade <= Grade::message; }

/// Of the last 64 messages, how many early ones make a source `batched` (ours).
inline constexpr int batched_messages = 8;

/// Watches one source for messages that began before the wire could have carried the one before.
///
/// Of the last 64 messages (by first byte; real-time bytes take no part), 8 that began earlier than
/// half the wire time of the message before make it `batched`, for good; the first message is never
/// early. `batched` and `none` stay. A copyable value. Thread: its owner's only.
class GradeWatch {
 public:
  explicit GradeWatch(Grade start) : grade_(start) {}

  /// Takes a complete message: when its first byte began, and its bytes on the wire. Returns true
  /// at the one message at which the grade falls.
  bool push(std::int64_t t_ns, std::uint64_t wire_bytes);

  [[nodiscard]] Grade grade() const { return grade_; }

 private:
  Grade grade_;
  std::int64_t fair_from_ns_ = std::numeric_limits<std::int64_t>::min();  ///< earlier is early
  std::uint64_t early_ = 0;  ///< bit i: the i-th newest message was early
};

/// "byte", as documents spell it.
const char* to_text(Grade grade);

}  // namespace strumwright::wire
