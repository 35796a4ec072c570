// app/theme/theme.cpp
#include "app/theme/theme.h"

#include <algorithm>
#include <iterator>

namespace strumwright::theme {

namespace {

constexpr int steps[] = {least_scale_percent, 90, 100, 110, 125, 150, 175, 200, 225,
                         most_scale_percent};

}  // namespace

int larger_scale(int percent) {
  const auto* next = std::upper_bound(std::begin(steps), std::end(steps), percent);
  return next == std::end(steps) ? most_scale_percent : *next;
}

int smaller_scale(int percent) {
  const auto* next = std::lower_bound(std::begin(steps), std::end(steps), percent);
  return next == std::begin(steps) ? least_scale_percent : *(next - 1);
}

}  // namespace strumwright::theme
