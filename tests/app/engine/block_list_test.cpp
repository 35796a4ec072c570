// tests/app/engine/block_list_test.cpp
#include "app/engine/block_list.h"

#include <atomic>
#include <cstdint>
#include <random>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::engine;

namespace {

struct Row {
  std::int64_t t_ns = 0;
  std::uint64_t index = 0;
  [[nodiscard]] std::int64_t order_ns() const { return t_ns; }
};

using SmallList = BlockList<Row, 4>;

void fill(SmallList& list, std::uint64_t count) {
  for (std::uint64_t i = list.end(); i < count; ++i) {
    list.append({static_cast<std::int64_t>(i) * 10, i});
  }
}

}  // namespace

TEST_CASE("the oldest block goes when one more would be too many, and not before") {
  struct Case {
    std::uint64_t appended;
    std::uint64_t first;
  };
  for (const auto& row : {Case{0, 0}, Case{1, 0}, Case{12, 0}, Case{13, 4}, Case{16, 4},
                          Case{17, 8}, Case{1000, 988}}) {
    SmallList list(12);
    fill(list, row.appended);
    const auto view = list.view();
    CAPTURE(row.appended);
    CHECK(view.first() == row.first);
    CHECK(view.end() == row.appended);
    CHECK(view.empty() == (row.appended == 0));
    for (auto i = view.first(); i < view.end(); ++i) CHECK(view[i].index == i);
  }
}

TEST_CASE("a view keeps what it shows when the blocks have long gone") {
  SmallList list(8);
  fill(list, 6);
  const auto view = list.view();
  fill(list, 500);
  CHECK(view.first() == 0);
  CHECK(view.end() == 6);
  for (auto i = view.first(); i < view.end(); ++i) CHECK(view[i].index == i);
  CHECK(list.view().first() > 6);
}

TEST_CASE("a search by time finds the first record that is not earlier, in order of time") {
  SmallList list(12);
  fill(list, 14);  // 40, 50 ... 130 are left
  const auto view = list.view();
  struct Case {
    std::int64_t t_ns;
    std::uint64_t index;
  };
  for (const auto& row :
       {Case{-5, 4}, Case{40, 4}, Case{41, 5}, Case{50, 5}, Case{130, 13}, Case{131, 14}}) {
    CAPTURE(row.t_ns);
    CHECK(view.at_or_after(row.t_ns) == row.index);
  }
}

TEST_CASE("out of order, no record before the one found is in the asked time or after") {
  std::mt19937 random(7);
  BlockList<Row, 16> list(4096);
  for (std::uint64_t i = 0; i < 4000; ++i) {
    const auto late = static_cast<std::int64_t>(random() % 50);
    list.append({static_cast<std::int64_t>(i) * 10 - late, i});
  }
  const auto view = list.view();
  for (std::int64_t t_ns = -60; t_ns < 40'100; t_ns += 7) {
    const auto found = view.at_or_after(t_ns);
    std::uint64_t first = view.first();
    while (first < view.end() && view[first].t_ns < t_ns) ++first;
    CAPTURE(t_ns);
    REQUIRE(found <= first);
    CHECK(first - found <= 11);  // 50 late at each end, 10 apart, and the one found
  }
}

TEST_CASE("a reader sees whole records only while the writer appends and drops blocks") {
  BlockList<Row, 64> list(1024);
  constexpr int looks = 300;
  std::atomic<bool> enough{false};
  std::thread writer([&] {
    for (std::uint64_t i = 0; !enough; ++i) list.append({static_cast<std::int64_t>(i), i});
  });
  std::uint64_t wrong = 0;
  std::uint64_t looked = 0;
  for (int look = 0; look < looks || looked == 0; ++look) {
    const auto view = list.view();
    for (auto i = view.first(); i < view.end(); ++i) {
      const Row& row = view[i];
      wrong += row.index != i || row.t_ns != static_cast<std::int64_t>(i) ? 1 : 0;
      ++looked;
    }
    std::this_thread::yield();
  }
  enough = true;
  writer.join();
  CHECK(wrong == 0);
  CHECK(list.view().end() == list.end());
}
