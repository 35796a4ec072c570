// core/publish/finding_list.cpp
#include "core/publish/finding_list.h"

#include <algorithm>

#include "core/diagnosis/finding_text.h"
#include "core/limits.h"

namespace strumwright::publish {

using diagnosis::before;
using diagnosis::Finding;
using diagnosis::Severity;

void FindingList::add(const Finding& finding) {
  auto& count = finding.severity == Severity::error     ? counts_.error
                : finding.severity == Severity::warning ? counts_.warning
                                                        : counts_.info;
  ++count;
  auto& heap = heaps_[static_cast<std::size_t>(finding.rule)];
  if (heap.size() == limits::findings_listed_per_rule) {
    ++left_out_;
    if (!before(finding, heap.front())) return;
    std::pop_heap(heap.begin(), heap.end(), before);
    heap.pop_back();
  }
  heap.push_back(finding);
  std::push_heap(heap.begin(), heap.end(), before);
}

std::vector<Finding> FindingList::in_order() const {
  std::vector<Finding> all;
  for (const auto& heap : heaps_) all.insert(all.end(), heap.begin(), heap.end());
  std::stable_sort(all.begin(), all.end(), before);
  return all;
}

}  // namespace strumwright::publish
