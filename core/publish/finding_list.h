// core/publish/finding_list.h
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "core/diagnosis/finding.h"

namespace strumwright::publish {

/// How many findings of each severity there were.
struct SeverityCounts {
  std::uint64_t error = 0;
  std::uint64_t warning = 0;
  std::uint64_t info = 0;
};

/// The findings of a document: exact counts, and of each rule the first ones in document order,
/// in whatever order they were decided. Bounded memory. Thread: its owner's only.
class FindingList {
 public:
  void add(const diagnosis::Finding& finding);

  /// All that are listed, in document order.
  [[nodiscard]] std::vector<diagnosis::Finding> in_order() const;
  [[nodiscard]] const SeverityCounts& counts() const { return counts_; }
  /// How many are counted but not listed.
  [[nodiscard]] std::uint64_t left_out() const { return left_out_; }

 private:
  std::array<std::vector<diagnosis::Finding>, diagnosis::rule_count> heaps_;  // last one on top
  SeverityCounts counts_;
  std::uint64_t left_out_ = 0;
};

}  // namespace strumwright::publish
