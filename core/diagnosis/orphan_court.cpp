// core/diagnosis/orphan_court.cpp
#include "core/diagnosis/orphan_court.h"

#include <algorithm>
#include <cstdlib>

#include "core/limits.h"

namespace strumwright::diagnosis {
namespace {

using Standing = Orphan::Standing;

Standing standing_of(const Orphan& orphan, const NoteState& note, const NoteTable& table) {
  const bool ended = note.end_order != 0;
  // The newest ending counts: a note that was played and released since a mode message is no
  // longer its business.
  if (ended && !is_release(note.ended_by) && orphan.t_ns - note.end_ns <= repeat_window_ns) {
    return Standing::excused;
  }
  const bool just_released =
      note.release_order != 0 && orphan.t_ns - note.release_ns <= repeat_window_ns;
  if (just_released && note.owed > 0) return Standing::excused;
  if (just_released && table.newest_start(orphan.key.channel) < note.release_order) {
    return Standing::unmatched;
  }
  return Standing::open;
}

std::optional<midi::Channel> only_other_channel(notes::NoteKey key, const NoteTable& table) {
  std::optional<midi::Channel> found;
  for (std::uint8_t index = 0; index < 16; ++index) {
    if (index == key.channel.index || !table.down({index}).has(key.number)) continue;
    if (found) return std::nullopt;
    found = midi::Channel{index};
  }
  return found;
}

/// Down at the orphan and ever since.
bool sounds_since(const NoteState& note, const Orphan& orphan) {
  return note.down && note.down_order < orphan.order;
}

/// (4)
std::optional<notes::NoteKey> crossed(const Orphan& orphan, const NoteTable& table) {
  if (!orphan.down_elsewhere) return std::nullopt;
  const auto now = only_other_channel(orphan.key, table);
  if (now != orphan.down_elsewhere) return std::nullopt;
  const notes::NoteKey key{*now, orphan.key.number};
  return sounds_since(table.at(key), orphan) ? std::optional(key) : std::nullopt;
}

/// (5), by nearest pitch: the ascending order gives the lower one of two as near.
std::optional<notes::NoteKey> swapped(const Orphan& orphan, const NoteTable& table) {
  std::optional<notes::NoteKey> nearest;
  const auto distance = [&orphan](std::uint8_t number) {
    return std::abs(int{number} - int{orphan.key.number});
  };
  table.down(orphan.key.channel).for_each([&](std::uint8_t number) {
    const notes::NoteKey key{orphan.key.channel, number};
    const auto& note = table.at(key);
    if (!sounds_since(note, orphan)) return;
    if (note.ever_named && orphan.t_ns - note.named_by_ns < name_again_ns) return;
    if (!nearest || distance(number) < distance(nearest->number)) nearest = key;
  });
  return nearest;
}

void blame(notes::NoteKey hangs, const NoteState& note, const Orphan& orphan, Finding& finding) {
  finding.other = hangs;
  // A start after the orphan is not the one that it should have ended.
  finding.other_ns = note.start_order < orphan.order ? note.start_ns : note.down_ns;
}

/// The chord under which the note was started, and the one at its wrong release if it is another.
void name_chords(const ChordMemory& chords, Finding& finding) {
  finding.chord_before = chords.in_force(finding.other_ns);
  finding.chord_after = chords.in_force(finding.t_ns);
  if (finding.chord_after == finding.chord_before) finding.chord_after.reset();
}

}  // namespace

void OrphanCourt::push(const Orphan& orphan, const NoteTable& table) {
  const auto& note = table.at(orphan.key);
  Orphan waiting = orphan;
  waiting.standing = standing_of(orphan, note, table);
  if (note.release_order != 0) waiting.since_release_ns = orphan.t_ns - note.release_ns;
  waiting.down_elsewhere = only_other_channel(orphan.key, table);
  waiting_.push_back(waiting);
  newest_on_[orphan.key.channel.index & 15U] = orphan.order;
  newest_of_[orphan.key.number & 127U] = orphan.order;
}

std::uint64_t OrphanCourt::newest_that_may_name(notes::NoteKey key, const NoteState& note) const {
  if (waiting_.empty()) return 0;
  const std::uint64_t newest =
      std::max(newest_on_[key.channel.index & 15U], newest_of_[key.number & 127U]);
  return newest >= waiting_.front().order && newest > note.down_order ? newest : 0;
}

bool OrphanCourt::full() const { return waiting_.size() >= limits::decisions_waiting; }

OrphanCourt::Judged OrphanCourt::decide(const Decision& decision, const NoteTable& table,
                                        const ChordMemory& chords, std::vector<Finding>& findings) {
  const Orphan orphan = waiting_.front();
  waiting_.pop_front();
  Judged judged{orphan.t_ns, orphan.order, std::nullopt};
  if (orphan.standing == Standing::excused) return judged;
  Rule rule = Rule::note_off_unmatched;
  if (orphan.standing == Standing::open) {
    if ((judged.named = crossed(orphan, table))) {
      rule = Rule::note_channel_crossed;
    } else if ((judged.named = swapped(orphan, table))) {
      rule = Rule::note_swapped_off;
    }
  }
  auto finding =
      note_finding(rule, decision, orphan.key.channel, orphan.key.number, orphan.t_ns, orphan.byte);
  if (judged.named) {
    blame(*judged.named, table.at(*judged.named), orphan, finding);
  } else {
    finding.amount = orphan.since_release_ns;
    if (orphan.may_be_older) finding.doubt = Doubt::joined_late;
  }
  if (rule == Rule::note_swapped_off) name_chords(chords, finding);
  findings.push_back(finding);
  return judged;
}

}  // namespace strumwright::diagnosis
