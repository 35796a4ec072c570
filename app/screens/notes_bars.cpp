// app/screens/notes_bars.cpp
#include "app/screens/notes_bars.h"

#include <algorithm>
#include <span>

namespace strumwright::screens {

namespace {

NoteBar bar_of(const engine::NoteSpan& span, const FindingBook& book) {
  return {span.start_ns, span.end_ns, span.channel,
          span.note,     span.ending, book.hangs(span.channel, span.note, span.start_ns)};
}

void add_down(const Snapshot& snapshot, const FindingBook& book, std::int64_t to_ns,
              std::vector<NoteBar>& bars) {
  const auto& now = snapshot.now;
  const auto count = std::min<std::size_t>(now.held_count, engine::Now::most_held);
  for (const auto& held : std::span(now.held.data(), count)) {
    if (held.since_ns > to_ns) continue;
    const auto channel = held.key.channel.index;
    bars.push_back({held.since_ns, snapshot.clock_ns, channel, held.key.number, NoteBar::down,
                    book.hangs(channel, held.key.number, held.since_ns)});
  }
}

}  // namespace

const std::vector<engine::NoteSpan>& SoundingAt::read(
    const decltype(engine::History::notes)::View& view, std::int64_t t_ns) {
  if (t_ns != t_ns_) {
    t_ns_ = t_ns;
    next_ = view.at_or_after(t_ns);
    spans_.clear();
  }
  for (next_ = std::max(next_, view.first()); next_ < view.end(); ++next_) {
    const auto& span = view[next_];
    if (span.start_ns <= t_ns && span.end_ns > t_ns) spans_.push_back(span);
  }
  return spans_;
}

std::vector<NoteBar> bars_between(const Snapshot& snapshot, const FindingBook& book,
                                  SoundingAt& beyond, std::int64_t from_ns, std::int64_t to_ns) {
  const auto view = snapshot.history.notes.view();
  std::vector<NoteBar> bars;
  const auto past = view.at_or_after(to_ns);
  for (auto i = view.at_or_after(from_ns); i < view.end(); ++i) {
    const auto& span = view[i];
    // From `past` on ends lie beyond the edge but for a few that came late.
    if (i >= past && span.end_ns > to_ns) break;
    if (span.end_ns >= from_ns && span.end_ns <= to_ns) bars.push_back(bar_of(span, book));
  }
  for (const auto& span : beyond.read(view, to_ns)) bars.push_back(bar_of(span, book));
  add_down(snapshot, book, to_ns, bars);
  return bars;
}

std::vector<NoteBar> bars_at(const Snapshot& snapshot, const FindingBook& book, SoundingAt& beyond,
                             std::int64_t at_ns) {
  const auto view = snapshot.history.notes.view();
  std::vector<NoteBar> bars;
  if (at_ns < snapshot.clock_ns) {
    for (const auto& span : beyond.read(view, at_ns)) bars.push_back(bar_of(span, book));
  }
  add_down(snapshot, book, at_ns, bars);
  std::sort(bars.begin(), bars.end(),
            [](const NoteBar& a, const NoteBar& b) { return a.start_ns < b.start_ns; });
  return bars;
}

}  // namespace strumwright::screens
