// tests/core/diagnosis/note_script_support.h
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/diagnosis/note_judge.h"
#include "core/notes/ledger.h"
#include "core/strum/strum_tracker.h"

/// What a player and a firmware did to the notes of one source, and what the judge made of it.
namespace strumwright::diagnosis::script {

inline constexpr std::int64_t ms = 1'000'000;
inline constexpr std::int64_t s = 1'000'000'000;

/// One message, or an end of all notes, at a time.
struct Act {
  enum class What : std::uint8_t { message, end_all };
  What what = What::message;
  std::int64_t t_ns = 0;
  std::uint8_t status = 0;
  std::uint8_t data1 = 0;
  std::uint8_t data2 = 0;
  notes::Ending how = notes::Ending::reset;
};

/// Channels are counted from 1 here.
Act on(std::int64_t t_ns, std::uint8_t note, int channel = 1);
Act off(std::int64_t t_ns, std::uint8_t note, int channel = 1);
Act control(std::int64_t t_ns, std::uint8_t controller, std::uint8_t value = 0, int channel = 1);
Act end_all(std::int64_t t_ns, notes::Ending how);

/// Short notes that come and go, `count` of them from `from_ns`, 20 ms apart (half on, half off).
std::vector<Act> passing(std::int64_t from_ns, int count, std::uint8_t note = 100, int channel = 1);

/// Judges the acts (ordered by time here) up to the end at `end_ns`, deadlines fired as the
/// pipeline does. `calls_ns`: extra calls of `advance`, ascending, none later than the end.
std::vector<Finding> judge(std::vector<Act> acts, std::int64_t end_ns,
                           NoteJudgeSettings settings = {},
                           const std::vector<std::int64_t>& calls_ns = {});

/// "note.stuck 60@0 at 500 end": rule, channel (unless 1) and note, time, other note, list, when
/// decided; times in ms and, if there are any, ns over.
std::string line(const Finding& finding);
/// The lines of all findings in the order of documents.
std::vector<std::string> lines(std::vector<Finding> findings);

}  // namespace strumwright::diagnosis::script
