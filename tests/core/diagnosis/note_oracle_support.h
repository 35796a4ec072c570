// tests/core/diagnosis/note_oracle_support.h
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "tests/core/diagnosis/note_script_support.h"

namespace strumwright::diagnosis::script {

/// The findings of the same acts, found the slow way: from the whole history at once, each clause
/// of the rules looked up in lists, no state carried along. Shares no code with the judge; strokes
/// alone come from the strum tracker. Lines as of `lines`, sorted.
std::vector<std::string> oracle(std::vector<Act> acts, std::int64_t end_ns,
                                NoteJudgeSettings settings);

}  // namespace strumwright::diagnosis::script
