// core/wire/timing_grade.h
#pragma once

#include <cstdint>

namespace strumwright::wire {

/// How far the times of a source can be trusted, best first.
enum class Grade : std::uint8_t { wire, byte, message, batched, none };

/// Whether timed rules can be judged.
constexpr bool can_time(Grade grade) { return grade <= Grade::message; }

/// Watches one source for messages that began before the wire could have carried the one before.
///
/// Of the last 64 messages (by first byte; real-time bytes take no part), 8 that began earlier than
/// half the wire time of the message before make it `batched`, for good. A copyable value.
class GradeWatch {
 public:
  explicit GradeWatch(Grade start);

  /// Takes a complete message: when its first byte began, and its bytes on the wire. Returns true
  /// at the one message at which the grade falls.
  bool push(std::int64_t t_ns, std::uint64_t wire_bytes);

  [[nodiscard]] Grade grade() const { return grade_; }

 private:
  Grade grade_;
  std::int64_t before_ns_ = -1;
  std::int64_t before_wire_ns_ = 0;
  std::uint64_t early_ = 0;  ///< bit i: the i-th newest message was early
};

/// "byte", as documents spell it.
const char* to_text(Grade grade);

}  // namespace strumwright::wire
