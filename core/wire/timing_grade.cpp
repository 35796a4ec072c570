// core/wire/timing_grade.cpp
#include "core/wire/timing_grade.h"

#include <bit>

#include "core/midi/status.h"

namespace strumwright::wire {

bool GradeWatch::push(std::int64_t t_ns, std::uint64_t wire_bytes) {
  if (!can_time(grade_)) return false;
  const bool early = t_ns < fair_from_ns_;
  early_ = early_ << 1U | (early ? 1U : 0U);
  fair_from_ns_ = t_ns + static_cast<std::int64_t>(wire_bytes) * (midi::byte_ns / 2);
  // Only an early message can make them so many.
  if (!early || std::popcount(early_) < batched_messages) return false;
  grade_ = Grade::batched;
  return true;
}

const char* to_text(Grade grade) {
  switch (grade) {
    case Grade::wire:
      return "wire";
    case Grade::byte:
      return "byte";
    case Grade::message:
      return "message";
    case Grade::batched:
      return "batched";
    case Grade::none:
      break;
  }
  return "none";
}

}  // namespace strumwright::wire
