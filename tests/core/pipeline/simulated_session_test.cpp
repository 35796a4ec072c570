// tests/core/pipeline/simulated_session_test.cpp
//
// The simulation shares no code with the analysers that judge it here.
#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "core/diagnosis/finding_text.h"
#include "core/pipeline/pipeline.h"
#include "core/publish/finding_list.h"
#include "core/simulation/simulator.h"

using namespace strumwright;
using diagnosis::Rule;

namespace {

class Collector : public pipeline::Sink {
 public:
  void finding(const diagnosis::Finding& finding) override { list.add(finding); }
  void stroke(const pipeline::JudgedStroke& judged) override {
    if (judged.stroke.is_strum()) ++strums;
  }
  publish::FindingList list;
  std::uint64_t strums = 0;
};

/// Feeds a simulation to its end; returns how many messages the parser counted.
std::uint64_t feed(simulation::Simulator& simulator, bool raw, Collector& collector) {
  const auto grade = raw ? wire::Grade::byte : wire::Grade::message;
  pipeline::Pipeline pipeline({{"SIMULATED Heron", raw, grade, std::nullopt, true}}, {}, collector);
  std::int64_t last_ns = 0;
  while (const auto chunk = simulator.next()) {
    session::Entry entry;
    entry.t_ns = last_ns = chunk->t_ns;
    entry.bytes = chunk->bytes;
    pipeline.push(entry);
  }
  session::Entry end;
  end.kind = session::Entry::Kind::end;
  end.t_ns = std::max(last_ns, simulator.end_ns());
  pipeline.push(end);
  pipeline.finish();
  return pipeline.state(0).counts.messages;
}

}  // namespace

TEST_CASE("a clean session of 10^6 messages in every release style gives no finding") {
  for (const auto release :
       {simulation::ReleaseStyle::velocity_zero, simulation::ReleaseStyle::note_off}) {
    for (const bool running_status : {false, true}) {
      CAPTURE(static_cast<int>(release));
      CAPTURE(running_status);
      simulation::SimulationOptions options;
      options.seed = 3;
      options.release = release;
      options.running_status = running_status;
      options.messages = 1'000'000;
      simulation::Simulator simulator(options);
      Collector collector;
      CHECK(feed(simulator, true, collector) == 1'000'000);
      CHECK(collector.strums > 20'000);
      for (const auto& finding : collector.list.in_order()) {
        FAIL_CHECK(diagnosis::id_of(finding) << ": " << diagnosis::text_of(finding));
      }
    }
  }
}

TEST_CASE("every fault that is put in is found, at its time, and nothing else is") {
  for (const auto rule : simulation::simulated_rules()) {
    CAPTURE(diagnosis::text_of(rule).name);
    for (const bool running_status : {false, true}) {
      CAPTURE(running_status);
      simulation::SimulationOptions options;
      options.seed = 17;
      options.running_status = running_status;
      options.faults = {{rule, 0.25}};
      options.strokes = 200;
      options.keep_truth = true;
      simulation::Simulator simulator(options);
      Collector collector;
      feed(simulator, rule != Rule::wire_backlog, collector);
      const auto& put_in = simulator.truth().faults;
      const auto found = collector.list.in_order();
      CHECK(put_in.size() > 0);
      std::vector<std::int64_t> expected_ns;
      for (const auto& fault : put_in) expected_ns.push_back(fault.t_ns);
      std::sort(expected_ns.begin(), expected_ns.end());
      std::vector<std::int64_t> found_ns;
      for (const auto& finding : found) {
        if (finding.rule == rule) {
          found_ns.push_back(finding.t_ns);
        } else if (!(rule == Rule::wire_backlog && finding.rule == Rule::timing_batched)) {
          FAIL_CHECK("also " << diagnosis::id_of(finding) << ": " << diagnosis::text_of(finding));
        }
      }
      CHECK(found_ns == expected_ns);
    }
  }
}
