// tests/core/diagnosis/note_oracle_test.cpp
#include <algorithm>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "tests/core/diagnosis/note_oracle_support.h"
#include <doctest/doctest.h>

#include "core/diagnosis/note_judge.h"

using namespace strumwright;
using namespace strumwright::diagnosis;
using namespace strumwright::diagnosis::script;

namespace {

/// Random plays of a few notes on two channels, with steps that meet each threshold of the rules.
class Play {
 public:
  explicit Play(std::uint32_t seed) : random_(seed) {
    const int turns = 4 + below(14);
    for (int i = 0; i < turns; ++i) turn();
    end_ns = t_ns_ + pick({0, 1, 100, 249, 250, 1100}) * ms;
  }

  std::vector<Act> acts;
  std::int64_t end_ns = 0;

  std::vector<std::int64_t> calls() {
    std::vector<std::int64_t> calls_ns;
    for (int i = 0; i < 20; ++i) {
      calls_ns.push_back(std::uniform_int_distribution<std::int64_t>(0, end_ns)(random_));
    }
    std::sort(calls_ns.begin(), calls_ns.end());
    return calls_ns;
  }

 private:
  int below(int count) { return std::uniform_int_distribution<int>(0, count - 1)(random_); }
  int pick(std::vector<int> from) {
    return from[static_cast<std::size_t>(below(static_cast<int>(from.size())))];
  }
  std::uint8_t note() { return static_cast<std::uint8_t>(pick({60, 62, 63, 64, 67})); }
  int channel() { return below(6) == 0 ? 2 : 1; }

  void wait() {
    t_ns_ += pick({0, 1, 5, 20, 49, 50, 51, 99, 100, 130, 249, 250, 251, 750, 1000}) * ms;
    t_ns_ += pick({0, 0, 0, 1});
  }

  void turn() {
    wait();
    switch (below(8)) {
      case 0:
        return stroke_and_burst();
      case 1:
        return short_notes();
      case 2:
        acts.push_back(control(t_ns_, static_cast<std::uint8_t>(pick({120, 123, 121, 64})),
                               static_cast<std::uint8_t>(pick({0, 127})), channel()));
        return;
      case 3:
        if (below(4) == 0) acts.push_back(end_all(t_ns_, notes::Ending::sense_lost));
        return;
      case 4:
      case 5:
        acts.push_back(on(t_ns_, note(), channel()));
        return;
      default:
        acts.push_back(off(t_ns_, note(), channel()));
    }
  }

  void stroke_and_burst() {
    const int count = 4 + below(4);
    const int step_ms = pick({5, 20, 40});
    for (int i = 0; i < count; ++i) {
      acts.push_back(on(t_ns_, static_cast<std::uint8_t>(60 + 2 * i)));
      t_ns_ += step_ms * ms;
    }
    t_ns_ += pick({10, 60, 130, 300}) * ms;
    const int came = below(count + 1);
    for (int i = 0; i < came; ++i) {
      acts.push_back(off(t_ns_, static_cast<std::uint8_t>(60 + 2 * i)));
      if (i + 1 < came) t_ns_ += pick({1, 5, 10, 50, 50, 51}) * ms;
    }
  }

  void short_notes() {
    const int count = 6 + below(5);
    for (int i = 0; i < count; ++i) {
      acts.push_back(on(t_ns_, 90));
      acts.push_back(off(t_ns_ + pick({1, 2, 3}) * ms, 90));
      t_ns_ += 60 * ms;
    }
  }

  std::mt19937 random_;
  std::int64_t t_ns_ = 0;
};

std::string told(const std::vector<std::string>& lines) {
  std::string text;
  for (const auto& line : lines) text += line + '\n';
  return text;
}

std::string script_of(const std::vector<Act>& acts) {
  std::ostringstream text;
  for (const auto& act : acts) {
    text << act.t_ns / ms << '+' << act.t_ns % ms << ": ";
    if (act.what == Act::What::end_all) {
      text << "end all\n";
    } else {
      text << std::hex << int{act.status} << std::dec << ' ' << int{act.data1} << ' '
           << int{act.data2} << '\n';
    }
  }
  return text.str();
}

NoteJudgeSettings settings_of(std::uint32_t seed) {
  return {(seed % 3 == 0 ? 1000 : 600) * ms, seed % 7 != 0, seed % 11 != 0};
}

}  // namespace

TEST_CASE("random plays are judged as the whole history says, clause by clause") {
  for (std::uint32_t seed = 1; seed <= 4000; ++seed) {
    Play play(seed);
    auto found = lines(judge(play.acts, play.end_ns, settings_of(seed)));
    std::sort(found.begin(), found.end());
    INFO("seed " << seed << ", end " << play.end_ns << '\n' << script_of(play.acts));
    REQUIRE(told(found) == told(oracle(play.acts, play.end_ns, settings_of(seed))));
  }
}

TEST_CASE("more calls of advance change no finding and no order") {
  for (std::uint32_t seed = 1; seed <= 2000; ++seed) {
    Play play(seed);
    const auto told_by = [](const std::vector<Finding>& findings) {
      std::string text;
      for (const auto& finding : findings) text += line(finding) + '\n';
      return text;
    };
    const auto plain = judge(play.acts, play.end_ns, settings_of(seed));
    INFO("seed " << seed);
    REQUIRE(told_by(judge(play.acts, play.end_ns, settings_of(seed), play.calls())) ==
            told_by(plain));
  }
}
