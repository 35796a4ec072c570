// tests/core/diagnosis/note_script_support.cpp
#include "tests/core/diagnosis/note_script_support.h"

#include <algorithm>
#include <limits>

#include "core/diagnosis/finding_text.h"

namespace strumwright::diagnosis::script {
namespace {

std::uint8_t status_of(std::uint8_t kind, int channel) {
  return static_cast<std::uint8_t>(kind | (channel - 1));
}

/// The wiring of ledger, strokes and judge as the pipeline has it, for one source.
class Bench {
 public:
  explicit Bench(NoteJudgeSettings settings) : judge_(0, settings) {}

  void advance(std::int64_t t_ns) {
    constexpr std::int64_t none = std::numeric_limits<std::int64_t>::max();
    for (;;) {
      const std::int64_t notes_ns = judge_.deadline_ns().value_or(none);
      const std::int64_t strums_ns = strums_.deadline_ns().value_or(none);
      if (std::min(notes_ns, strums_ns) >= t_ns) return;
      if (notes_ns <= strums_ns) {
        judge_.advance(notes_ns + 1, findings);
      } else {
        strums_.advance(strums_ns + 1, strokes_);
        give_strokes();
      }
    }
  }

  void play(const Act& act, std::uint64_t index) {
    advance(act.t_ns);
    if (act.what == Act::What::end_all) {
      ledger_.end_all(act.t_ns, act.how, facts_);
    } else {
      const auto down = ledger_.down_pitches();
      ledger_.push(midi::make_event(act.t_ns, act.status, act.data1, act.data2, false, 3 * index),
                   facts_);
      if ((act.status & 0xF0U) == midi::note_on && act.data2 > 0) begin(act, index, down);
    }
    for (const auto& fact : facts_) judge_.push(fact, findings);
    facts_.clear();
  }

  void finish(std::int64_t t_ns) {
    advance(t_ns);
    strums_.finish(strokes_);
    give_strokes();
    judge_.finish(t_ns, findings);
  }

  std::vector<Finding> findings;

 private:
  void begin(const Act& act, std::uint64_t index, notes::NoteMask down) {
    strum::Onset onset;
    onset.t_ns = act.t_ns;
    onset.byte = 3 * index;
    onset.channel = {static_cast<std::uint8_t>(act.status & 15U)};
    onset.note = act.data1;
    onset.velocity = act.data2;
    onset.place = act.data1;
    onset.down_before = down;
    strums_.push(onset, strokes_);
    give_strokes();
  }

  void give_strokes() {
    for (const auto& stroke : strokes_) judge_.stroke(stroke, findings);
    strokes_.clear();
  }

  notes::Ledger ledger_;
  strum::StrumTracker strums_;
  NoteJudge judge_;
  std::vector<notes::NoteFact> facts_;
  std::vector<strum::Stroke> strokes_;
};

std::string in_ms(std::int64_t t_ns) {
  const std::int64_t whole = (t_ns + ms / 2) / ms;
  const std::int64_t over = t_ns - whole * ms;
  std::string text = std::to_string(whole);
  if (over != 0) text += (over > 0 ? "+" : "") + std::to_string(over);
  return text;
}

}  // namespace

Act on(std::int64_t t_ns, std::uint8_t note, int channel) {
  return {.t_ns = t_ns, .status = status_of(0x90, channel), .data1 = note, .data2 = 80};
}

Act off(std::int64_t t_ns, std::uint8_t note, int channel) {
  return {.t_ns = t_ns, .status = status_of(0x90, channel), .data1 = note, .data2 = 0};
}

Act control(std::int64_t t_ns, std::uint8_t controller, std::uint8_t value, int channel) {
  return {.t_ns = t_ns, .status = status_of(0xB0, channel), .data1 = controller, .data2 = value};
}

Act end_all(std::int64_t t_ns, notes::Ending how) {
  return {.what = Act::What::end_all, .t_ns = t_ns, .how = how};
}

std::vector<Act> passing(std::int64_t from_ns, int count, std::uint8_t note, int channel) {
  std::vector<Act> acts;
  for (int i = 0; i < count; ++i) {
    acts.push_back(on(from_ns + 20 * i * ms, note, channel));
    acts.push_back(off(from_ns + (20 * i + 10) * ms, note, channel));
  }
  return acts;
}

std::vector<Finding> judge(std::vector<Act> acts, std::int64_t end_ns, NoteJudgeSettings settings,
                           const std::vector<std::int64_t>& calls_ns) {
  std::stable_sort(acts.begin(), acts.end(),
                   [](const Act& a, const Act& b) { return a.t_ns < b.t_ns; });
  Bench bench(settings);
  auto call = calls_ns.begin();
  std::uint64_t index = 0;
  for (const auto& act : acts) {
    for (; call != calls_ns.end() && *call <= act.t_ns; ++call) bench.advance(*call);
    bench.play(act, index++);
  }
  for (; call != calls_ns.end(); ++call) bench.advance(*call);
  bench.finish(end_ns);
  return bench.findings;
}

std::string line(const Finding& finding) {
  std::string text = text_of(finding.rule).name;
  text += ' ';
  if (finding.channel && *finding.channel != 1) text += std::to_string(*finding.channel) + '/';
  text += (finding.note ? std::to_string(*finding.note) : "-") + '@' + in_ms(finding.t_ns);
  if (finding.other) {
    text += " not ";
    if (finding.other->channel.number() != finding.channel) {
      text += std::to_string(finding.other->channel.number()) + '/';
    }
    text += std::to_string(finding.other->number);
  }
  finding.listed.for_each([&](std::uint8_t note) { text += " +" + std::to_string(note); });
  text += " at " + in_ms(finding.decided_ns);
  if (finding.at_end) text += " end";
  return text;
}

std::vector<std::string> lines(std::vector<Finding> findings) {
  std::stable_sort(findings.begin(), findings.end(), before);
  std::vector<std::string> texts;
  for (const auto& finding : findings) texts.push_back(line(finding));
  return texts;
}

}  // namespace strumwright::diagnosis::script
