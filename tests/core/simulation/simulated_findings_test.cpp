// tests/core/simulation/simulated_findings_test.cpp
// The simulated controller against the analysers that judge it. They share no code beyond the
// serial writer, so that agreement says something about both.
#include <algorithm>
#include <iterator>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "core/diagnosis/finding_text.h"
#include "core/pipeline/pipeline.h"
#include "core/simulation/simulator.h"

using namespace strumwright;
using simulation::FaultPlace;
using simulation::ReleaseStyle;
using simulation::SimulationOptions;
using simulation::Simulator;

namespace {

struct Findings : pipeline::Sink {
  std::vector<diagnosis::Finding> all;
  void finding(const diagnosis::Finding& found) override { all.push_back(found); }
};

session::Entry entry_of(const Simulator::Chunk& chunk) {
  session::Entry entry;
  entry.t_ns = chunk.t_ns;
  entry.bytes = chunk.bytes;
  return entry;
}

pipeline::Pipeline make_bench(Findings& findings) {
  return {{{"Heron", true, wire::Grade::byte, std::nullopt, true}}, {}, findings};
}

std::vector<diagnosis::Finding> judge(Simulator& simulator) {
  Findings findings;
  auto bench = make_bench(findings);
  while (const auto chunk = simulator.next()) bench.push(entry_of(*chunk));
  session::Entry end;
  end.kind = session::Entry::Kind::end;
  end.t_ns = simulator.end_ns();
  bench.push(end);
  bench.finish();
  return findings.all;
}

struct Seen {
  std::string rule;
  std::int64_t t_ns;
  friend auto operator<=>(const Seen&, const Seen&) = default;
};

std::string shown(const std::vector<Seen>& seen) {
  std::string text;
  for (const auto& one : seen) text += one.rule + " at " + std::to_string(one.t_ns) + "\n";
  return text;
}

const char* name_of(diagnosis::Rule rule) { return diagnosis::text_of(rule).name; }

/// What the truth has and the findings have not, or the other way round.
std::vector<Seen> differences(const std::vector<simulation::FaultTruth>& truth,
                              const std::vector<diagnosis::Finding>& findings) {
  std::vector<Seen> meant;
  std::vector<Seen> found;
  for (const auto& fault : truth) meant.push_back({name_of(fault.rule), fault.t_ns});
  for (const auto& finding : findings) found.push_back({name_of(finding.rule), finding.t_ns});
  std::sort(meant.begin(), meant.end());
  std::sort(found.begin(), found.end());
  std::vector<Seen> different;
  std::set_symmetric_difference(meant.begin(), meant.end(), found.begin(), found.end(),
                                std::back_inserter(different));
  return different;
}

SimulationOptions styled(int style) {
  SimulationOptions options;
  options.release = style % 2 == 0 ? ReleaseStyle::velocity_zero : ReleaseStyle::note_off;
  options.running_status = style >= 2;
  options.keep_truth = true;
  return options;
}

}  // namespace

TEST_CASE("all faults together are found, each as itself") {
  for (int style = 0; style < 4; ++style) {
    auto options = styled(style);
    options.seed = static_cast<std::uint64_t>(style) + 10;
    options.duration_ns = 2'000'000'000'000;
    for (const auto rule : simulation::simulated_rules()) {
      const auto place = simulation::place_of(rule);
      if (place == FaultPlace::stroke || place == FaultPlace::when_clear) {
        options.faults.push_back({rule, 0.1});
      }
    }
    Simulator simulator(options);
    const auto findings = judge(simulator);
    CHECK(simulator.truth().faults.size() > 500);
    const auto different = differences(simulator.truth().faults, findings);
    INFO(shown(different));
    CHECK(different.empty());
  }
}

TEST_CASE("a backlog is found with the fall of the grade that shows it, and nothing else") {
  auto options = styled(0);
  options.faults = {{diagnosis::Rule::wire_backlog, 1.0}};
  options.strokes = 20;
  Simulator simulator(options);
  const auto findings = judge(simulator);
  REQUIRE(findings.size() == 2);
  CHECK((findings[0].rule == diagnosis::Rule::timing_batched));
  CHECK((findings[1].rule == diagnosis::Rule::wire_backlog));
}

TEST_CASE("a session may be told to finish at any moment without a finding") {
  for (int chunks = 1; chunks < 60; ++chunks) {
    Simulator simulator(styled(0));
    Findings findings;
    auto bench = make_bench(findings);
    int left = chunks;
    while (const auto chunk = simulator.next()) {
      bench.push(entry_of(*chunk));
      if (--left == 0) simulator.finish();
    }
    bench.finish();
    CHECK(findings.all.empty());
  }
}
