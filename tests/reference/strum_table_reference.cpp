// tests/reference/strum_table_reference.cpp
//
// The table of strums in the rules (section 4), row by row, through the whole pipeline.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "core/pipeline/pipeline.h"

using namespace strumwright;

namespace {

constexpr std::int64_t ms = 1'000'000;

struct Start {
  int place;
  std::int64_t after_ns;  ///< after the start before it
};

/// Places, each 20 ms after the one before.
std::vector<Start> at_20_ms(const std::vector<int>& places) {
  std::vector<Start> starts;
  for (const int place : places) starts.push_back({place, 20 * ms});
  return starts;
}

std::vector<Start> at(std::int64_t gap_ns, const std::vector<int>& places) {
  auto starts = at_20_ms(places);
  for (auto& start : starts) start.after_ns = gap_ns;
  return starts;
}

std::vector<Start> joined(std::vector<Start> first, const std::vector<Start>& then) {
  first.insert(first.end(), then.begin(), then.end());
  return first;
}

/// "up 1 2 3 4 doubled 4; down 3 2 1; loose 2": steps in order, then doubles and early ones.
class Strums : public pipeline::Sink {
 public:
  void stroke(const pipeline::JudgedStroke& judged) override {
    const auto& stroke = judged.stroke;
    if (!stroke.is_strum()) {
      loose_ += stroke.steps;
      return;
    }
    if (!text_.empty()) text_ += "; ";
    text_ += stroke.direction == strum::Direction::up     ? "up"
             : stroke.direction == strum::Direction::down ? "down"
                                                          : "mixed";
    std::string doubled;
    std::string early;
    for (const auto& onset : stroke.onsets) {
      const std::string place = ' ' + std::to_string(onset.place - 59);
      if (onset.role == strum::Role::doubled) {
        doubled += place;
        continue;
      }
      text_ += place;
      if (onset.role == strum::Role::early) early += place;
    }
    if (!doubled.empty()) text_ += " doubled" + doubled;
    if (!early.empty()) text_ += " early" + early;
  }

  [[nodiscard]] std::string text() const {
    if (loose_ == 0) return text_;
    return text_ + (text_.empty() ? "" : "; ") + "loose " + std::to_string(loose_);
  }

 private:
  std::string text_;
  int loose_ = 0;
};

std::string strums_of(const std::vector<Start>& starts) {
  Strums strums;
  pipeline::Pipeline pipeline({{"table", true, wire::Grade::byte, std::nullopt, false}}, {},
                              strums);
  std::int64_t t_ns = 1000 * ms;
  for (const auto& start : starts) {
    t_ns += start.after_ns;
    const std::vector<std::uint8_t> bytes{0x90, static_cast<std::uint8_t>(59 + start.place), 80};
    session::Entry entry;
    entry.t_ns = t_ns;
    entry.bytes = bytes;
    pipeline.push(entry);
  }
  pipeline.finish();
  return strums.text();
}

}  // namespace

TEST_CASE("each row of the table of strums comes out as it stands there") {
  struct Row {
    std::vector<Start> starts;
    std::string strums;
  };
  const Row rows[] = {
      {at_20_ms({1, 2, 3, 4}), "up 1 2 3 4"},
      {at_20_ms({1, 2, 3, 4, 3, 2, 1}), "up 1 2 3 4; down 3 2 1"},
      {joined(joined(at_20_ms({1, 2, 3, 4}), {{4, 30 * ms}}), at_20_ms({3, 2, 1})),
       "up 1 2 3 4 doubled 4; down 3 2 1"},
      {at(6 * ms, {1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1}), "up 1 2 3 4 5 6; down 5 4 3 2 1"},
      {at_20_ms({1, 2, 3, 4, 3, 2}), "up 1 2 3 4; loose 2"},
      {at_20_ms({1, 2, 3, 4, 3}), "up 1 2 3 4 doubled 3"},
      {joined(at_20_ms({1, 2, 3, 4}), {{3, 80 * ms}}), "up 1 2 3 4; loose 1"},
      {at_20_ms({1, 2, 4, 3, 5, 6}), "up 1 2 4 3 5 6 early 4"},
      {at_20_ms({1, 2, 3, 2, 4, 5}), "up 1 2 3 4 5 doubled 2"},
      {joined(joined(at_20_ms({1, 2, 3}), {{3, 30 * ms}}), at_20_ms({4})), "up 1 2 3 4 doubled 3"},
      {joined(joined(at_20_ms({1, 2, 3}), {{3, 80 * ms}}), at_20_ms({2, 1})),
       "up 1 2 3; down 3 2 1"},
      {joined(at_20_ms({1, 2}), {{3, 120 * ms}}), "up 1 2 3"},
      {joined(at_20_ms({1, 2}), {{3, 120 * ms + 1}}), "loose 3"},
      {at_20_ms({1, 5, 2, 6, 3, 7}), "up 1 5 2 6 3 7 early 5 6"},
      {at_20_ms({2, 1, 3, 4, 5, 6}), "up 2 1 3 4 5 6 early 2"},
      {at_20_ms({1, 2, 5, 4, 3, 6, 7, 8}), "up 1 2 5; up 4 3 6 7 8 early 4"},
  };
  for (const auto& row : rows) CHECK(strums_of(row.starts) == row.strums);
}
