// tests/core/wire/status_age_test.cpp
#include "core/wire/status_age.h"

#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::wire;

TEST_CASE("a note more than 10 s after the last status byte is named once a stretch") {
  constexpr std::int64_t s = 1'000'000'000;
  enum Kind { status, note };
  struct Row {
    std::string source;
    std::vector<std::pair<Kind, std::int64_t>> sent;
    std::vector<std::int64_t> ages_ns;
  };
  const Row rows[] = {
      {"10 s are allowed", {{status, s}, {note, 5 * s}, {note, 11 * s}}, {}},
      {"one ns more", {{status, s}, {note, 5 * s}, {note, 11 * s + 1}}, {10 * s + 1}},
      {"a pause counts", {{status, 0}, {note, 60 * s}}, {60 * s}},
      {"once a stretch", {{status, 0}, {note, 11 * s}, {note, 12 * s}, {note, 99 * s}}, {11 * s}},
      {"a new status, a new stretch",
       {{status, 0}, {note, 11 * s}, {status, 12 * s}, {note, 22 * s}, {note, 23 * s}},
       {11 * s, 11 * s}},
      {"any status renews", {{status, 0}, {status, 9 * s}, {note, 19 * s}}, {}},
      {"none before the first status", {{note, 99 * s}}, {}},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    StatusAge watch;
    std::vector<std::int64_t> ages_ns;
    for (const auto& [kind, t_ns] : row.sent) {
      if (kind == status) {
        watch.status(t_ns);
      } else if (const auto age_ns = watch.running_note(t_ns)) {
        ages_ns.push_back(*age_ns);
      }
    }
    CHECK(ages_ns == row.ages_ns);
  }
}
