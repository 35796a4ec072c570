// core/diagnosis/symptoms.h
#pragma once

#include <span>

#include "core/diagnosis/rule.h"

namespace strumwright::diagnosis {

/// What a maker complains about, and which findings answer it.
/// Source of the list: builders' reports and common practice.
struct Symptom {
  const char* complaint;        ///< in the maker's words
  std::span<const Rule> rules;  ///< findings that show it, likeliest first; may be empty
  const char* limit;            ///< what cannot be seen of it and where to look; null if nothing
};

/// All of them, from notes over bytes and line to touch and controls.
[[nodiscard]] std::span<const Symptom> symptoms();

}  // namespace strumwright::diagnosis
