// tests/core/strum/strum_tracker_test.cpp
#include "core/strum/strum_tracker.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright;
using namespace strumwright::strum;

namespace {

constexpr std::int64_t ms = 1'000'000;

Onset onset_at(std::int64_t t_ns, std::uint8_t place) {
  Onset onset;
  onset.t_ns = t_ns;
  onset.note = place;
  onset.place = place;
  onset.velocity = 80;
  onset.message_bytes = 1;  // 0.32 ms, a gap that no row has: not wire-limited
  return onset;
}

std::vector<Stroke> strokes_of(const std::vector<Onset>& onsets, StrumSettings settings = {}) {
  StrumTracker tracker(settings);
  std::vector<Stroke> finished;
  for (const Onset& onset : onsets) tracker.push(onset, finished);
  tracker.finish(finished);
  return finished;
}

std::string with_role(const Stroke& stroke, Role role, const std::string& label) {
  std::string text;
  for (const Onset& onset : stroke.onsets) {
    if (onset.role == role) text += " " + std::to_string(onset.place);
  }
  return text.empty() ? text : label + text;
}

/// "up 1 2 3 4 (doubled 4); loose 2": steps and early onsets in time order.
std::string text_of(const std::vector<Stroke>& strokes) {
  std::string text;
  for (const Stroke& stroke : strokes) {
    if (!text.empty()) text += "; ";
    const char* const names[] = {"up", "down", "mixed"};
    text += stroke.is_strum() ? names[static_cast<int>(stroke.direction)] : "loose";
    for (const Onset& onset : stroke.onsets) {
      if (onset.role != Role::doubled) text += " " + std::to_string(onset.place);
    }
    text += with_role(stroke, Role::doubled, ", doubled");
    text += with_role(stroke, Role::early, ", early");
  }
  return text;
}

/// Where the hand goes: a place, and the time since the onset before it.
struct Step {
  int place;
  std::int64_t after_ns = 20 * ms;
};

std::vector<Onset> onsets_of(const std::vector<Step>& steps) {
  std::vector<Onset> onsets;
  std::int64_t t_ns = ms;
  for (const Step& step : steps) {
    if (!onsets.empty()) t_ns += step.after_ns;
    onsets.push_back(onset_at(t_ns, static_cast<std::uint8_t>(step.place)));
  }
  return onsets;
}

struct Row {
  std::string source;
  std::vector<Step> steps;
  const char* strokes;
};

void check(const Row& row) {
  INFO(row.source);
  CHECK(text_of(strokes_of(onsets_of(row.steps))) == row.strokes);
}

}  // namespace

TEST_CASE("the table of strums in the rules comes out row by row") {
  constexpr std::int64_t fast = 6 * ms;
  const Row rows[] = {
      {"row 1", {{1}, {2}, {3}, {4}}, "up 1 2 3 4"},
      {"row 2", {{1}, {2}, {3}, {4}, {3}, {2}, {1}}, "up 1 2 3 4; down 3 2 1"},
      {"row 3",
       {{1}, {2}, {3}, {4}, {4, 30 * ms}, {3}, {2}, {1}},
       "up 1 2 3 4, doubled 4; down 3 2 1"},
      {"row 4",
       {{1},
        {2, fast},
        {3, fast},
        {4, fast},
        {5, fast},
        {6, fast},
        {5, fast},
        {4, fast},
        {3, fast},
        {2, fast},
        {1, fast}},
       "up 1 2 3 4 5 6; down 5 4 3 2 1"},
      {"row 5", {{1}, {2}, {3}, {4}, {3}, {2}}, "up 1 2 3 4; loose 3 2"},
      {"row 6", {{1}, {2}, {3}, {4}, {3}}, "up 1 2 3 4, doubled 3"},
      {"row 7", {{1}, {2}, {3}, {4}, {3, 80 * ms}}, "up 1 2 3 4; loose 3"},
      {"row 8", {{1}, {2}, {4}, {3}, {5}, {6}}, "up 1 2 4 3 5 6, early 4"},
      {"row 9", {{1}, {2}, {3}, {2}, {4}, {5}}, "up 1 2 3 4 5, doubled 2"},
      {"row 10", {{1}, {2}, {3}, {3, 30 * ms}, {4}}, "up 1 2 3 4, doubled 3"},
      {"row 11", {{1}, {2}, {3}, {3, 80 * ms}, {2}, {1}}, "up 1 2 3; down 3 2 1"},
      {"row 12, as long as the gap", {{1}, {2}, {3, 120 * ms}}, "up 1 2 3"},
      {"row 12, one ns longer", {{1}, {2}, {3, 120 * ms + 1}}, "loose 1 2; loose 3"},
      {"row 13", {{1}, {5}, {2}, {6}, {3}, {7}}, "up 1 5 2 6 3 7, early 5 6"},
      {"row 14", {{2}, {1}, {3}, {4}, {5}, {6}}, "up 2 1 3 4 5 6, early 2"},
      {"row 15", {{1}, {2}, {5}, {4}, {3}, {6}, {7}, {8}}, "up 1 2 5; up 4 3 6 7 8, early 4"},
  };
  for (const Row& row : rows) check(row);
}

TEST_CASE("the same holds with the directions exchanged") {
  const Row rows[] = {
      {"row 2", {{9}, {8}, {7}, {6}, {7}, {8}, {9}}, "down 9 8 7 6; up 7 8 9"},
      {"row 8", {{9}, {8}, {6}, {7}, {5}, {4}}, "down 9 8 6 7 5 4, early 6"},
      {"row 14", {{8}, {9}, {7}, {6}, {5}, {4}}, "down 8 9 7 6 5 4, early 8"},
      {"row 15", {{9}, {8}, {5}, {6}, {7}, {4}, {3}, {2}}, "down 9 8 5; down 6 7 4 3 2, early 6"},
  };
  for (const Row& row : rows) check(row);
}

TEST_CASE("each time limit belongs to the near side") {
  const Row rows[] = {
      {"rule 2: as long as the refractory time",
       {{1}, {2}, {3}, {3, 50 * ms}, {4}},
       "up 1 2 3 4, doubled 3"},
      {"rule 2: one ns longer is struck again",
       {{1}, {2}, {3}, {3, 50 * ms + 1}, {4}},
       "up 1 2 3; loose 3 4"},
      {"rule 4: as long as the refractory time",
       {{1}, {2}, {3}, {2, 30 * ms}, {4}},
       "up 1 2 3 4, doubled 2"},
      {"rule 4: one ns longer begins a stroke",
       {{1}, {2}, {3}, {2, 30 * ms + 1}, {4}},
       "up 1 2 3; loose 2 4"},
      {"rule 3: the next as late as the gap",
       {{1}, {2}, {3}, {2}, {1, 120 * ms}},
       "up 1 2 3; loose 2 1"},
      {"rule 3: a gap, so no turn",
       {{1}, {2}, {3}, {2}, {1, 120 * ms + 1}},
       "up 1 2 3, doubled 2; loose 1"},
      {"rule 1: doubles count for the gap",
       {{1}, {2}, {2, 50 * ms}, {3, 120 * ms}},
       "up 1 2 3, doubled 2"},
      {"rule 1: one ns beyond the double",
       {{1}, {2}, {2, 50 * ms}, {3, 120 * ms + 1}},
       "loose 1 2, doubled 2; loose 3"},
  };
  for (const Row& row : rows) check(row);
}

TEST_CASE("doubles take no part in turns, and a double before the turn changes nothing") {
  const Row rows[] = {
      {"rule 3 looks past doubles of the turning place",
       {{1}, {2}, {4}, {3}, {3, 10 * ms}, {2}},
       "up 1 2 4; loose 3 2, doubled 3"},
      {"rule 3 looks past a later stroke of the same place",
       {{1}, {2}, {3}, {2}, {2, 80 * ms}, {1}},
       "up 1 2 3; loose 2; loose 2 1"},
      {"no turn: both belong together",
       {{1}, {2}, {4}, {3}, {3, 10 * ms}, {5}},
       "up 1 2 4 3 5, doubled 3, early 4"},
      {"the step is from the last that is no double",
       {{1}, {3}, {5}, {3, 10 * ms}, {4}, {6}},
       "up 1 3 5 4 6, doubled 3, early 5"},
      {"rule 5 names the last that is no double",
       {{1}, {2}, {4}, {4, 10 * ms}, {3}, {5}},
       "up 1 2 4 3 5, doubled 4, early 4"},
      {"two onsets and a double are two onsets",
       {{2}, {1}, {1, 10 * ms}, {3}, {4}},
       "up 2 1 3 4, doubled 1, early 2"},
      {"rule 3 with two onsets, then rule 4",
       {{2}, {3}, {2}, {1}},
       "down 2 3 1, doubled 2, early 2"},
      {"rule 3 with two onsets, then rule 4, too late",
       {{2}, {3}, {2, 60 * ms}, {1}},
       "loose 2 3, early 2; loose 2 1"},
      {"no direction yet, so no turn", {{2}, {2, 10 * ms}, {1}, {0}}, "down 2 1 0, doubled 2"},
  };
  for (const Row& row : rows) check(row);
}

TEST_CASE("starts at one time keep their order, and one that goes back is taken as at the newest") {
  const auto chord = strokes_of(onsets_of({{1}, {2, 0}, {3, 0}}));
  CHECK(text_of(chord) == "up 1 2 3");
  CHECK_FALSE(chord[0].evenness.has_value());

  const auto back = strokes_of(onsets_of({{1}, {2}, {3, -ms}, {4}}));
  REQUIRE(back.size() == 1);
  CHECK(back[0].onsets[2].t_ns == 21 * ms);
  CHECK(back[0].onsets[3].t_ns == 40 * ms);
}

TEST_CASE("a double says how late it is and whether it is of another channel") {
  auto onsets = onsets_of({{1}, {2}, {2, 30 * ms}, {3}, {2, 10 * ms}});
  onsets[2].channel.index = 1;
  onsets[4].channel.index = 1;
  const auto strokes = strokes_of(onsets);
  REQUIRE(strokes.size() == 1);
  const auto& kept = strokes[0].onsets;
  CHECK(kept[2].role == Role::doubled);
  CHECK(kept[2].doubled_after_ns == 30 * ms);
  CHECK(kept[2].doubles_other_channel);
  CHECK(kept[4].role == Role::doubled);
  CHECK(kept[4].doubled_after_ns == 30 * ms);
  CHECK_FALSE(kept[4].doubles_other_channel);
  CHECK(strokes[0].end_ns == kept[4].t_ns);
  CHECK(strokes[0].span_ns == kept[3].t_ns - kept[0].t_ns);
}

TEST_CASE("held_through keeps what was down at every onset of the stroke, and no more") {
  auto onsets = onsets_of({{1}, {2}, {3}, {3, 10 * ms}});
  for (Onset& onset : onsets) onset.down_before.add(60);
  for (std::size_t i = 0; i < 3; ++i) onsets[i].down_before.add(64);
  for (std::size_t i = 1; i < 4; ++i) onsets[i].down_before.add(1);
  notes::NoteMask expected;
  expected.add(60);
  CHECK(strokes_of(onsets)[0].held_through == expected);
}

TEST_CASE("a stroke is final when more than the gap has passed, and not before") {
  StrumTracker tracker;
  std::vector<Stroke> finished;
  CHECK_FALSE(tracker.deadline_ns().has_value());
  tracker.advance(500 * ms, finished);
  tracker.push(onset_at(ms, 1), finished);
  tracker.push(onset_at(21 * ms, 1), finished);
  CHECK(tracker.deadline_ns() == 141 * ms);
  tracker.advance(141 * ms, finished);
  CHECK(finished.empty());
  tracker.advance(141 * ms + 1, finished);
  CHECK(text_of(finished) == "loose 1, doubled 1");
  CHECK_FALSE(tracker.deadline_ns().has_value());
  tracker.finish(finished);
  CHECK(finished.size() == 1);
}

TEST_CASE("settings hold from the next stroke on") {
  StrumTracker tracker;
  std::vector<Stroke> finished;
  tracker.push(onset_at(0, 1), finished);
  tracker.set({10 * ms, ms});
  CHECK(tracker.deadline_ns() == 120 * ms);
  tracker.push(onset_at(100 * ms, 2), finished);
  CHECK(finished.empty());
  tracker.push(onset_at(300 * ms, 3), finished);
  CHECK(tracker.deadline_ns() == 310 * ms);
  tracker.push(onset_at(311 * ms, 4), finished);
  CHECK(text_of(finished) == "loose 1 2; loose 3");
}

TEST_CASE("settings that come while a turn is in doubt do not reach the onset that turned") {
  StrumTracker tracker;
  std::vector<Stroke> finished;
  for (const Onset& onset : onsets_of({{1}, {2}, {3}, {2}})) tracker.push(onset, finished);
  tracker.set({10 * ms, ms});
  tracker.push(onset_at(80 * ms, 1), finished);
  CHECK(text_of(finished) == "up 1 2 3");
  CHECK(tracker.deadline_ns() == 200 * ms);
}

TEST_CASE("the current stroke is as it would be if nothing more came") {
  StrumTracker tracker;
  std::vector<Stroke> finished;
  CHECK_FALSE(tracker.current().has_value());
  for (const Onset& onset : onsets_of({{1}, {2}, {4}})) tracker.push(onset, finished);
  CHECK(text_of({*tracker.current()}) == "up 1 2 4");
  CHECK(tracker.current()->evenness == doctest::Approx(1.0));
  tracker.push(onset_at(61 * ms, 3), finished);
  CHECK(text_of({*tracker.current()}) == "up 1 2 4 3, early 4");
  tracker.push(onset_at(81 * ms, 2), finished);
  CHECK(text_of({*tracker.current()}) == "loose 3 2");
  CHECK(text_of(finished) == "up 1 2 4");
}

TEST_CASE("of very many onsets only doubles are left out, and all are counted") {
  std::vector<Step> steps = {{0}};
  for (int i = 0; i < 5000; ++i) steps.push_back({0, ms});
  for (int place = 1; place < 256; ++place) steps.push_back({place, ms});
  const std::size_t count = steps.size();
  steps.push_back({0, 200 * ms});
  for (int i = 0; i < 500; ++i) steps.push_back({0, ms});
  const auto strokes = strokes_of(onsets_of(steps));
  REQUIRE(strokes.size() == 2);
  CHECK(strokes[1].onsets.size() == 501);
  CHECK(strokes[0].onsets.size() == limits::stroke_onsets);
  CHECK(strokes[0].onsets_left_out == count - limits::stroke_onsets);
  CHECK(strokes[0].steps == 256);
  CHECK(strokes[0].direction == Direction::up);
  CHECK(strokes[0].span_ns == 5255 * ms);
}

TEST_CASE("an endless turn in doubt is decided as no turn when enough wait") {
  StrumTracker tracker;
  std::vector<Stroke> finished;
  for (const Onset& onset : onsets_of({{1}, {2}, {3}})) tracker.push(onset, finished);
  std::int64_t t_ns = 61 * ms;
  for (std::size_t i = 0; i < limits::stroke_onsets; ++i) {
    tracker.push(onset_at(t_ns += 60 * ms, 2), finished);
  }
  CHECK(finished.empty());
  tracker.push(onset_at(t_ns + 60 * ms, 2), finished);
  REQUIRE(finished.size() == limits::stroke_onsets + 1);
  CHECK(text_of({finished.front()}) == "up 1 2 3");
}

namespace {

/// The rules of strums over a whole list, with nothing remembered between onsets.
class Oracle {
 public:
  Oracle(const std::vector<Onset>& onsets, StrumSettings settings)
      : onsets_(onsets), settings_(settings), roles_(onsets.size(), Role::step) {
    for (std::size_t i = 0; i < onsets.size(); ++i) take(i);
  }

  [[nodiscard]] std::string text() const {
    std::string text;
    for (std::size_t s = 0; s < starts_.size(); ++s) text += stroke_text(s);
    return text;
  }

 private:
  [[nodiscard]] int place(std::size_t i) const { return onsets_[i].place; }
  [[nodiscard]] bool gap_before(std::size_t i) const {
    return onsets_[i].t_ns - onsets_[i - 1].t_ns > settings_.gap_ns;
  }
  [[nodiscard]] std::size_t end_of(std::size_t stroke) const {
    return stroke + 1 < starts_.size() ? starts_[stroke + 1] : onsets_.size();
  }

  /// Onsets of the newest stroke before `i` that are no doubles.
  [[nodiscard]] std::vector<std::size_t> struck(std::size_t i) const {
    std::vector<std::size_t> list;
    for (std::size_t k = starts_.back(); k < i; ++k) {
      if (roles_[k] != Role::doubled) list.push_back(k);
    }
    return list;
  }

  [[nodiscard]] bool goes_further(std::size_t i, int way) const {
    std::size_t next = i + 1;
    while (next < onsets_.size() && !gap_before(next) && place(next) == place(i)) ++next;
    if (next == onsets_.size() || gap_before(next)) return false;
    return (place(next) - place(i)) * way > 0;
  }

  void begin(std::size_t i) {
    starts_.push_back(i);
    turned_ = false;
  }

  void take(std::size_t i) {
    if (i == 0 || gap_before(i)) return begin(i);
    const std::int64_t since_ns = onsets_[i].t_ns - onsets_[i - 1].t_ns;
    if (place(i) == place(i - 1) && since_ns <= settings_.refractory_ns) {
      roles_[i] = Role::doubled;
      return;
    }
    const auto list = struck(i);
    int way = list.size() < 2 ? 0 : place(list[1]) - place(list[0]);
    if (turned_) way = -way;
    bool against = (place(i) - place(list.back())) * way < 0;
    if (against && goes_further(i, -way)) {
      if (list.size() > 2) return begin(i);
      turned_ = true;
      roles_[list[0]] = Role::early;
      against = false;
    }
    for (std::size_t k = i; k-- > starts_.back();) {
      if (place(k) != place(i)) continue;
      if (onsets_[i].t_ns - onsets_[k].t_ns > settings_.refractory_ns) return begin(i);
      roles_[i] = Role::doubled;
      return;
    }
    if (against) roles_[list.back()] = Role::early;
  }

  [[nodiscard]] std::string stroke_text(std::size_t stroke) const {
    std::string text = "\n";
    std::vector<double> places;
    for (std::size_t k = starts_[stroke]; k < end_of(stroke); ++k) {
      text += std::to_string(place(k)) + "sed"[static_cast<int>(roles_[k])] + " ";
      if (roles_[k] != Role::doubled) places.push_back(place(k));
    }
    return text + direction(places);
  }

  /// Pearson's correlation of the ranks, as the coefficient is defined.
  static const char* direction(const std::vector<double>& places) {
    const auto n = static_cast<double>(places.size());
    double product = 0;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const auto rank =
          std::count_if(places.begin(), places.end(), [&](double p) { return p < places[i]; });
      product += (static_cast<double>(i) - (n - 1) / 2) * (static_cast<double>(rank) - (n - 1) / 2);
    }
    const double rho = places.size() < 2 ? 0 : product / (n * (n * n - 1) / 12);
    return rho >= 0.5 - 1e-9 ? "up" : rho <= -0.5 + 1e-9 ? "down" : "mixed";
  }

  const std::vector<Onset>& onsets_;
  StrumSettings settings_;
  std::vector<Role> roles_;
  std::vector<std::size_t> starts_;
  bool turned_ = false;
};

std::string text_as_oracle(const std::vector<Stroke>& strokes) {
  std::string text;
  for (const Stroke& stroke : strokes) {
    text += "\n";
    for (const Onset& onset : stroke.onsets) {
      text += std::to_string(onset.place) + "sed"[static_cast<int>(onset.role)] + " ";
    }
    const char* const names[] = {"up", "down", "mixed"};
    text += names[static_cast<int>(stroke.direction)];
  }
  return text;
}

/// A hand that mostly goes on, sometimes turns, bounces, jumps or pauses; times on and beside
/// limits.
std::vector<Onset> random_onsets(std::mt19937& random, int count) {
  const std::int64_t gaps_ms[] = {0,  1,  2,  5,  6,  10, 20,  25,  30,
                                  40, 49, 50, 51, 60, 80, 119, 120, 121};
  std::vector<Onset> onsets;
  std::int64_t t_ns = 0;
  int place = 6;
  int way = 1;
  for (int i = 0; i < count; ++i) {
    switch (random() % 8) {
      case 0:
        way = -way;
        place += way;
        break;
      case 1:
        place -= way;
        break;
      case 2:
        place = static_cast<int>(random() % 12);
        break;
      case 3:
        break;
      default:
        place += way;
    }
    place = std::clamp(place, 0, 12);
    t_ns += gaps_ms[random() % std::size(gaps_ms)] * ms + (random() % 4 == 0 ? 1 : 0);
    onsets.push_back(onset_at(t_ns, static_cast<std::uint8_t>(place)));
  }
  return onsets;
}

}  // namespace

TEST_CASE("the tracker agrees with the rules read over the whole list, on random hands") {
  std::mt19937 random(20260131);
  const StrumSettings settings[] = {{}, {30 * ms, 50 * ms}, {200 * ms, 0}, {60 * ms, 20 * ms}};
  for (int round = 0; round < 30'000; ++round) {
    const auto onsets = random_onsets(random, 1 + static_cast<int>(random() % 40));
    const auto& set = settings[round % 4];
    REQUIRE(text_as_oracle(strokes_of(onsets, set)) == Oracle(onsets, set).text());
  }
}

TEST_CASE("extra advances and questions change no stroke, on random hands") {
  std::mt19937 random(7);
  for (int round = 0; round < 3'000; ++round) {
    const auto onsets = random_onsets(random, 30);
    StrumTracker tracker;
    std::vector<Stroke> finished;
    std::int64_t t_ns = 0;
    for (const Onset& onset : onsets) {
      while (random() % 3 != 0) {
        t_ns = std::min(onset.t_ns, t_ns + static_cast<std::int64_t>(random() % (60 * ms)));
        tracker.advance(t_ns, finished);
        REQUIRE(tracker.current().has_value() == tracker.deadline_ns().has_value());
      }
      t_ns = onset.t_ns;
      tracker.push(onset, finished);
    }
    tracker.finish(finished);
    REQUIRE(text_as_oracle(finished) == text_as_oracle(strokes_of(onsets)));
  }
}
