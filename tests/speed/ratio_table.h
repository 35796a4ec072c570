// tests/speed/ratio_table.h
#pragma once

#include <algorithm>
#include <cstdio>
#include <map>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>

namespace strumwright::speed {

/// The median of what was measured; of an even number the lower middle one.
inline double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Keeps the CPU time of every repetition, for a table of ratios of medians after the run.
class RatioTable : public benchmark::ConsoleReporter {
 public:
  void ReportRuns(const std::vector<Run>& runs) override {
    for (const auto& run : runs) {
      if (run.run_type != Run::RT_Iteration || run.error_occurred) continue;
      times_[run.run_name.function_name].push_back(run.GetAdjustedCPUTime());
    }
    benchmark::ConsoleReporter::ReportRuns(runs);
  }

  /// Median, least and most CPU time of the benchmark called `name`, in its time unit.
  [[nodiscard]] double median_of(const std::string& name) const {
    const auto found = times_.find(name);
    return found == times_.end() ? 0 : median(found->second);
  }
  [[nodiscard]] double least_of(const std::string& name) const {
    const auto& times = times_.at(name);
    return *std::min_element(times.begin(), times.end());
  }
  [[nodiscard]] double most_of(const std::string& name) const {
    const auto& times = times_.at(name);
    return *std::max_element(times.begin(), times.end());
  }
  [[nodiscard]] bool has(const std::string& name) const { return times_.contains(name); }

 private:
  std::map<std::string, std::vector<double>> times_;
};

/// One line of a table: how often `ours` fits into `peer`, against the target.
inline void print_ratio(const char* what, double ratio, const char* relation, double target,
                        bool met) {
  std::printf("%-52s %6.2f  target %s %.2f  %s\n", what, ratio, relation, target,
              met ? "met" : "MISSED");
}

inline void print_at_least(const char* what, double peer, double ours, double target) {
  const double ratio = ours > 0 ? peer / ours : 0;
  print_ratio(what, ratio, ">=", target, ratio >= target);
}

inline void print_at_most(const char* what, double ours, double floor, double target) {
  const double ratio = floor > 0 ? ours / floor : 0;
  print_ratio(what, ratio, "<=", target, ratio > 0 && ratio <= target);
}

}  // namespace strumwright::speed
