// tests/core/diagnosis/note_oracle_support.cpp
#include "tests/core/diagnosis/note_oracle_support.h"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace strumwright::diagnosis::script {
namespace {

/// Channel (from 1) and number.
using Key = std::pair<int, int>;

/// One thing that happened to one note, in order.
struct Deed {
  enum class What : std::uint8_t { start, end, orphan };
  What what;
  Key key;
  std::int64_t t_ns;
  bool release = false;  ///< of an end
  int message = -1;      ///< of an end by a mode message: its place in the list of these
};
using What = Deed::What;

struct ModeMessage {
  std::int64_t t_ns;
  int channel;
  int at;  ///< deeds before it
};

/// A moment of decision: all deeds before `at` are known.
struct Moment {
  std::int64_t t_ns;
  int at;
  bool end = false;
};

struct Naming {
  int orphan;  ///< index of the deed
  Key key;
  Moment when;
};

class Oracle {
 public:
  Oracle(std::vector<Act> acts, std::int64_t end_ns, NoteJudgeSettings settings)
      : end_ns_(end_ns), settings_(settings) {
    for (const auto& act : acts) write_down(act);
  }

  std::vector<std::string> run() {
    judge_orphans();
    judge_holds_and_bursts();
    judge_restarts();
    judge_flashes();
    judge_messages();
    judge_end();
    std::sort(lines_.begin(), lines_.end());
    return lines_;
  }

 private:
  // --- History

  void write_down(const Act& act) {
    if (act.what == Act::What::end_all) {
      for (int channel = 1; channel <= 16; ++channel) end_notes(channel, act.t_ns, -1);
      return;
    }
    const int channel = (act.status & 15) + 1;
    const Key key{channel, act.data1};
    const int kind = act.status & 0xF0;
    if (kind == 0xB0) {
      if (act.data1 == 120 || act.data1 >= 123) {
        messages_.push_back({act.t_ns, channel, count()});
        end_notes(channel, act.t_ns, static_cast<int>(messages_.size()) - 1);
      }
    } else if (kind == 0x90 && act.data2 > 0) {
      deeds_.push_back({What::start, key, act.t_ns});
    } else {
      deeds_.push_back({is_down(key, count()) ? What::end : What::orphan, key, act.t_ns, true});
    }
  }

  void end_notes(int channel, std::int64_t t_ns, int message) {
    const int known = count();
    for (int number = 0; number < 128; ++number) {
      if (!is_down({channel, number}, known)) continue;
      deeds_.push_back({What::end, {channel, number}, t_ns, false, message});
    }
  }

  int count() const { return static_cast<int>(deeds_.size()); }
  const Deed& deed(int i) const { return deeds_[static_cast<std::size_t>(i)]; }

  /// The newest deed before `at` for which `fits`; -1: none.
  template <class Fits>
  int newest(int at, Fits fits) const {
    for (int i = at - 1; i >= 0; --i) {
      if (fits(deed(i))) return i;
    }
    return -1;
  }
  int newest_start(Key key, int at) const {
    return newest(at, [&](const Deed& d) { return d.key == key && d.what == What::start; });
  }
  int newest_end(Key key, int at) const {
    return newest(at, [&](const Deed& d) { return d.key == key && d.what == What::end; });
  }
  int newest_release(Key key, int at) const {
    return newest(at, [&](const Deed& d) {
      return d.key == key && (d.what == What::orphan || (d.what == What::end && d.release));
    });
  }
  bool is_down(Key key, int at) const { return newest_start(key, at) > newest_end(key, at); }
  /// Down at `from` and without an ending up to `at`.
  bool stays_down(Key key, int from, int at) const {
    return is_down(key, from) && newest_end(key, at) < from;
  }
  int first_start_after(Key key, int from) const {
    for (int i = from; i < count(); ++i) {
      if (deed(i).key == key && deed(i).what == What::start) return i;
    }
    return count();
  }
  /// How many deeds are known when a deadline passes: those at it come first.
  int known_at(std::int64_t t_ns) const {
    int at = 0;
    while (at < count() && deed(at).t_ns <= t_ns) ++at;
    return at;
  }
  Moment deadline(std::int64_t t_ns) const {
    if (t_ns < end_ns_) return {t_ns, known_at(t_ns)};
    return {end_ns_, count(), true};
  }

  // --- Orphans

  void judge_orphans() {
    for (int i = 0; i < count(); ++i) {
      if (deed(i).what == What::orphan) judge_orphan(i);
    }
  }

  bool excused(int orphan) const {
    const Key key = deed(orphan).key;
    const std::int64_t t_ns = deed(orphan).t_ns;
    const int end = newest_end(key, orphan);
    if (end >= 0 && !deed(end).release) return t_ns - deed(end).t_ns <= s;  // (1); owes nothing
    if (end < 0) return false;
    const int up_before = newest_end(key, end);  // the ending before the last time down
    int starts = 0;
    int releases = 0;
    for (int i = up_before + 1; i < orphan; ++i) {
      if (deed(i).key != key) continue;
      if (deed(i).what == What::start) ++starts;
      if (deed(i).what != What::start && i >= end) ++releases;
    }
    return starts > releases && t_ns - deed(newest_release(key, orphan)).t_ns <= s;
  }

  bool just_released(int orphan) const {
    const int release = newest_release(deed(orphan).key, orphan);
    if (release < 0 || deed(orphan).t_ns - deed(release).t_ns > s) return false;
    const int start = newest(orphan, [&](const Deed& d) {
      return d.what == What::start && d.key.first == deed(orphan).key.first;
    });
    return start < release;
  }

  std::optional<Key> crossed(int orphan, int at) const {
    std::vector<Key> then;
    std::vector<Key> now;
    for (int channel = 1; channel <= 16; ++channel) {
      const Key key{channel, deed(orphan).key.second};
      if (is_down(key, orphan)) then.push_back(key);
      if (is_down(key, at) && channel != deed(orphan).key.first) now.push_back(key);
    }
    if (then.size() != 1 || now != then || !stays_down(then[0], orphan, at)) return std::nullopt;
    return then[0];
  }

  std::optional<Key> swapped(int orphan, int at) const {
    std::optional<Key> best;
    const auto [channel, wrong] = deed(orphan).key;
    for (int number = 127; number >= 0; --number) {
      const Key key{channel, number};
      if (!stays_down(key, orphan, at)) continue;
      const bool named = std::any_of(namings_.begin(), namings_.end(), [&](const Naming& naming) {
        return naming.key == key && deed(orphan).t_ns - deed(naming.orphan).t_ns < 100 * ms;
      });
      if (named) continue;
      if (!best || std::abs(number - wrong) <= std::abs(best->second - wrong)) best = key;
    }
    return best;
  }

  void judge_orphan(int orphan) {
    if (excused(orphan)) return;
    const Moment when = deadline(deed(orphan).t_ns + 250 * ms);
    const char* rule = "note.off-unmatched";
    std::optional<Key> hangs;
    if (!just_released(orphan)) {
      if ((hangs = crossed(orphan, when.at))) {
        rule = "note.channel-crossed";
      } else if ((hangs = swapped(orphan, when.at))) {
        rule = "note.swapped-off";
      }
    }
    say(rule, deed(orphan).key, deed(orphan).t_ns, when, hangs);
    if (hangs) namings_.push_back({orphan, *hangs, when});
  }

  /// Whether the start at deed `start` was named by an orphan, known at `when`.
  bool named(int start, const Moment& when, bool at_event) const {
    const Key key = deed(start).key;
    return std::any_of(namings_.begin(), namings_.end(), [&](const Naming& naming) {
      const bool known = when.end || naming.when.t_ns < when.t_ns ||
                         (naming.when.t_ns == when.t_ns && !at_event && !naming.when.end);
      return naming.key == key && known && newest_start(key, naming.orphan) == start;
    });
  }

  // --- Notes held too long, bursts

  struct BurstNow {
    std::vector<int> missing;  ///< their starts
    int last = -1;             ///< the deed of the last release that came
  };

  /// The stroke's notes in starting order, each with its newest start there.
  std::vector<int> starts_of(const strum::Stroke& stroke) const {
    std::vector<int> starts;
    for (const auto& onset : stroke.onsets) {
      const Key key{onset.channel.number(), onset.note};
      const auto start = static_cast<int>(onset.byte);
      const auto known =
          std::find_if(starts.begin(), starts.end(), [&](int i) { return deed(i).key == key; });
      if (known == starts.end()) {
        starts.push_back(start);
      } else {
        *known = start;
      }
    }
    return starts;
  }

  std::optional<BurstNow> burst(const std::vector<int>& starts, int at) const {
    BurstNow now;
    std::size_t came = 0;
    for (const int start : starts) {
      const Key key = deed(start).key;
      int end = -1;
      for (int i = start + 1; i < at && end < 0; ++i) {
        if (deed(i).key == key && deed(i).what == What::end) end = i;
      }
      if (end < 0) {
        if (newest_start(key, at) != start) return std::nullopt;  // another start took its place
        now.missing.push_back(start);
        continue;
      }
      const bool again = newest_start(key, end) != start;
      const bool late = came > 0 && deed(end).t_ns - deed(now.last).t_ns > 50 * ms;
      if (!now.missing.empty() || again || !deed(end).release || late || end < now.last) {
        return std::nullopt;
      }
      ++came;
      now.last = end;
    }
    if (came < 2 || now.missing.size() < 2) return std::nullopt;
    return now;
  }

  /// Raises the burst in whose tail the start is missing, if there is one.
  bool raise_burst(int start, const Moment& when, bool at_event) {
    for (const auto& starts : strokes_) {
      const auto now = burst(starts, when.at);
      if (!now || std::count(now->missing.begin(), now->missing.end(), start) == 0) continue;
      std::map<int, std::vector<int>> by_channel;
      for (const int missing : now->missing) {
        const bool known = named(missing, when, at_event) || in_burst_.count(missing) > 0;
        in_burst_.insert(missing);
        if (!known) by_channel[deed(missing).key.first].push_back(missing);
      }
      for (const auto& [channel, missing] : by_channel) {
        std::set<int> numbers;
        for (const int i : missing) numbers.insert(deed(i).key.second);
        std::string list;
        for (const int number : numbers) list += " +" + std::to_string(number);
        say("note.burst-short", deed(missing.front()).key, deed(now->last).t_ns, when, std::nullopt,
            list);
      }
      return true;
    }
    return false;
  }

  /// When (b) of stuck would be decided for the start; none: never.
  std::optional<std::pair<Moment, bool>> held_too_long(int start) const {
    const Key key = deed(start).key;
    const std::int64_t due_ns = deed(start).t_ns + settings_.hold_limit_ns;
    if (!settings_.has_times || due_ns >= end_ns_) return std::nullopt;
    int others = 0;
    const int known = known_at(due_ns);
    for (int i = start + 1; i < count(); ++i) {
      if (i == known && others >= 8) break;
      const Deed& d = deed(i);
      if (d.key == key) return std::nullopt;  // ended or started again
      if (d.what == What::end && !d.release && d.key.first == key.first) {
        return std::nullopt;  // what ends one so ends all, this one at the same moment
      }
      const bool counts =
          d.what == What::end && d.key.first == key.first && newest_start(d.key, i) > start;
      if (counts && ++others >= 8 && i >= known) return std::pair{Moment{d.t_ns, i + 1}, true};
    }
    if (others < 8) return std::nullopt;
    return std::pair{Moment{due_ns, known}, false};
  }

  void judge_holds_and_bursts() {
    collect_strokes();
    struct Trigger {
      Moment when;
      bool at_event;
      bool restart;
      int start;  ///< that is held too long, or that another start of the note follows
    };
    std::vector<Trigger> triggers;
    for (int i = 0; i < count(); ++i) {
      if (deed(i).what != What::start) continue;
      if (const auto held = held_too_long(i)) {
        triggers.push_back({held->first, held->second, false, i});
      }
      if (is_down(deed(i).key, i)) {
        triggers.push_back({{deed(i).t_ns, i}, true, true, newest_start(deed(i).key, i)});
      }
    }
    std::stable_sort(triggers.begin(), triggers.end(), [](const Trigger& a, const Trigger& b) {
      return std::make_pair(a.when.at, a.when.t_ns) < std::make_pair(b.when.at, b.when.t_ns);
    });
    for (const auto& trigger : triggers) {
      if (trigger.restart) {
        if (settings_.has_order) raise_burst(trigger.start, trigger.when, true);
        continue;
      }
      if (named(trigger.start, trigger.when, trigger.at_event)) continue;
      if (in_burst_.count(trigger.start) > 0) continue;
      if (settings_.has_order && raise_burst(trigger.start, trigger.when, trigger.at_event))
        continue;
      stuck_.insert(trigger.start);
      say("note.stuck", deed(trigger.start).key, deed(trigger.start).t_ns, trigger.when);
    }
  }

  void collect_strokes() {
    strum::StrumTracker tracker;
    std::vector<strum::Stroke> strokes;
    for (int i = 0; i < count(); ++i) {
      if (deed(i).what != What::start) continue;
      tracker.advance(deed(i).t_ns, strokes);
      strum::Onset onset;
      onset.t_ns = deed(i).t_ns;
      onset.byte = static_cast<std::uint64_t>(i);
      onset.channel = {static_cast<std::uint8_t>(deed(i).key.first - 1)};
      onset.note = static_cast<std::uint8_t>(deed(i).key.second);
      onset.place = onset.note;
      tracker.push(onset, strokes);
    }
    tracker.finish(strokes);
    for (const auto& stroke : strokes) strokes_.push_back(starts_of(stroke));
  }

  // --- The rest

  void judge_restarts() {
    for (int i = 0; i < count(); ++i) {
      const Key key = deed(i).key;
      if (deed(i).what != What::start || !is_down(key, i)) continue;
      const int before = newest_start(key, i);
      if (named(before, {end_ns_, count(), true}, false) || in_burst_.count(before) > 0) continue;
      say("note.on-twice", key, deed(i).t_ns, decided_restart(i));
    }
  }

  Moment decided_restart(int restart) const {
    const Key key = deed(restart).key;
    Moment when{deed(restart).t_ns, restart};
    for (int i = 0; i < restart; ++i) {
      const Deed& d = deed(i);
      const bool concerns = d.key.first == key.first || d.key.second == key.second;
      if (d.what != What::orphan || !concerns || !stays_down(key, i, restart)) continue;
      if (d.t_ns + 250 * ms < deed(restart).t_ns) continue;
      when = deadline(d.t_ns + 250 * ms);
    }
    return when;
  }

  void judge_flashes() {
    if (!settings_.has_times) return;
    for (int i = 0; i < count(); ++i) {
      if (deed(i).what != What::end || !deed(i).release) continue;
      const std::int64_t start_ns = deed(newest_start(deed(i).key, i)).t_ns;
      if (deed(i).t_ns - start_ns < 2 * ms)
        say("note.flash", deed(i).key, start_ns, {deed(i).t_ns, i});
    }
  }

  void judge_messages() {
    for (int message = 0; message < static_cast<int>(messages_.size()); ++message) {
      const auto& [t_ns, channel, at] = messages_[static_cast<std::size_t>(message)];
      const Moment when = deadline(t_ns + s);
      std::string list;
      for (int i = at; i < count(); ++i) {
        if (deed(i).what == What::end && deed(i).message == message && !own_release(i, when.at)) {
          list += " +" + std::to_string(deed(i).key.second);
        }
      }
      if (!list.empty()) say("note.all-off-only", {channel, -1}, t_ns, when, std::nullopt, list);
    }
  }

  bool own_release(int end, int at) const {
    for (int i = end + 1; i < at; ++i) {
      if (deed(i).key != deed(end).key) continue;
      return deed(i).what == What::orphan;
    }
    return false;
  }

  void judge_end() {
    const Moment when{end_ns_, count(), true};
    for (int channel = 1; channel <= 16; ++channel) {
      for (int number = 0; number < 128; ++number) {
        const Key key{channel, number};
        if (!is_down(key, count())) continue;
        const int start = newest_start(key, count());
        if (settings_.has_order) raise_burst(start, when, false);
        const bool told = named(start, when, false) || in_burst_.count(start) > 0;
        if (!told && stuck_.count(start) == 0) say("note.stuck", key, deed(start).t_ns, when);
      }
    }
  }

  void say(const std::string& rule, Key key, std::int64_t t_ns, const Moment& when,
           std::optional<Key> other = std::nullopt, const std::string& list = "") {
    Finding finding;  // for the figures alone: how a line reads is `line`'s
    finding.rule = find_rule(rule)->rule;
    finding.channel = static_cast<std::uint8_t>(key.first);
    if (key.second >= 0) finding.note = static_cast<std::uint8_t>(key.second);
    finding.t_ns = t_ns;
    finding.decided_ns = when.t_ns;
    finding.at_end = when.end;
    if (other) {
      finding.other = notes::NoteKey{{static_cast<std::uint8_t>(other->first - 1)},
                                     static_cast<std::uint8_t>(other->second)};
    }
    std::string text = line(finding);
    text.insert(text.find(" at "), list);
    lines_.push_back(text);
  }

  std::int64_t end_ns_;
  NoteJudgeSettings settings_;
  std::vector<Deed> deeds_;
  std::vector<ModeMessage> messages_;
  std::vector<Naming> namings_;
  std::vector<std::vector<int>> strokes_;
  std::set<int> in_burst_;
  std::set<int> stuck_;
  std::vector<std::string> lines_;
};

}  // namespace

std::vector<std::string> oracle(std::vector<Act> acts, std::int64_t end_ns,
                                NoteJudgeSettings settings) {
  return Oracle(std::move(acts), end_ns, settings).run();
}

}  // namespace strumwright::diagnosis::script
