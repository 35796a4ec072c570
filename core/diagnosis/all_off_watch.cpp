// core/diagnosis/all_off_watch.cpp
#include "core/diagnosis/all_off_watch.h"

#include <algorithm>
#include <optional>

#include "core/limits.h"

namespace strumwright::diagnosis {
namespace {

std::uint64_t count_of(const notes::NoteMask& mask) {
  std::uint64_t count = 0;
  mask.for_each([&count](std::uint8_t) { ++count; });
  return count;
}

}  // namespace

void AllOffWatch::message(const notes::NoteFact& fact) {
  newest_ = fact;
  newest_waits_ = false;
}

void AllOffWatch::ended(notes::NoteKey key) {
  if (!newest_waits_) waiting_.push_back({newest_, {}, {}});
  newest_waits_ = true;
  waiting_.back().ended.add(key.number);
  waiting_.back().unreleased.add(key.number);
}

void AllOffWatch::released(notes::NoteKey key) {
  const auto found =
      std::find_if(waiting_.rbegin(), waiting_.rend(), [key](const Message& message) {
        return message.fact.key.channel == key.channel && message.ended.has(key.number);
      });
  if (found != waiting_.rend()) found->unreleased.remove(key.number);
}

bool AllOffWatch::full() const { return waiting_.size() >= limits::decisions_waiting; }

void AllOffWatch::decide(const Decision& decision, std::vector<Finding>& findings) {
  const Message message = waiting_.front();
  waiting_.pop_front();
  if (message.unreleased.empty()) return;
  const auto& fact = message.fact;
  auto finding = note_finding(Rule::note_all_off_only, decision, fact.key.channel, std::nullopt,
                              fact.t_ns, fact.byte);
  finding.listed = message.unreleased;
  finding.count = count_of(message.unreleased);
  finding.amount = fact.key.number;
  findings.push_back(finding);
}

}  // namespace strumwright::diagnosis
