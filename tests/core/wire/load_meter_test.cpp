// tests/core/wire/load_meter_test.cpp
#include "core/wire/load_meter.h"

#include <algorithm>
#include <optional>
#include <random>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::wire;

namespace {

constexpr std::int64_t ms = 1'000'000;
constexpr std::int64_t byte_ns = 320'000;

struct Block {
  std::int64_t first_ns;
  std::int64_t step_ns;
  std::size_t count;
};

/// Every byte's time, and for each byte the count of the window that ends with it.
struct Slow {
  std::vector<std::int64_t> times;
  std::size_t peak = 0;
  bool over = false;

  std::vector<std::int64_t> push(const Block& block) {
    std::vector<std::int64_t> passed;
    for (std::size_t k = 0; k < block.count; ++k) {
      std::int64_t t_ns = block.first_ns + static_cast<std::int64_t>(k) * block.step_ns;
      if (!times.empty()) t_ns = std::max(t_ns, times.back());
      times.push_back(t_ns);
      const auto oldest = std::upper_bound(times.begin(), times.end(), t_ns - 100 * ms);
      const auto held = static_cast<std::size_t>(times.end() - oldest);
      peak = std::max(peak, held);
      const bool now_over = static_cast<double>(held) > 0.9 * 312.5;
      if (now_over && !over) passed.push_back(*oldest);
      over = now_over;
    }
    return passed;
  }

  [[nodiscard]] double at(std::int64_t t_ns) const {
    const auto held = std::count_if(times.begin(), times.end(),
                                    [&](std::int64_t t) { return t > t_ns - 100 * ms; });
    return static_cast<double>(held) / 312.5;
  }
};

/// The windows that passed 90 % with these bytes.
std::vector<std::int64_t> pushed(LoadMeter& meter, const Block& block) {
  std::vector<Overload> overloads;
  meter.push(block.first_ns, block.step_ns, block.count, overloads);
  std::vector<std::int64_t> windows_ns;
  for (const auto& overload : overloads) windows_ns.push_back(overload.window_ns);
  return windows_ns;
}

using Windows = std::vector<std::int64_t>;

}  // namespace

TEST_CASE("without bytes there is no mean and no load") {
  const LoadMeter meter;
  CHECK(meter.peak() == 0.0);
  CHECK_FALSE(meter.mean().has_value());
  CHECK(meter.at(0) == 0.0);
}

TEST_CASE("the window is half-open: a byte 100 ms older is out, one ns less is in") {
  for (const std::int64_t gap_ns : {100 * ms, 100 * ms - 1}) {
    LoadMeter meter;
    pushed(meter, {0, 0, 1});
    pushed(meter, {gap_ns, 0, 1});
    const double held = gap_ns == 100 * ms ? 1 : 2;
    CHECK(meter.peak() == held / 312.5);
    CHECK(meter.at(gap_ns) == held / 312.5);
  }
}

TEST_CASE("a full wire holds 313 bytes at most and has a mean of one") {
  LoadMeter meter;
  pushed(meter, {5 * ms, byte_ns, 10'000});
  CHECK(meter.peak() == 313 / 312.5);
  CHECK(*meter.mean() == doctest::Approx(1.0));
  CHECK(meter.at(5 * ms + 9'999 * byte_ns) == 313 / 312.5);
}

TEST_CASE("the mean runs from the first byte to the end of the last") {
  LoadMeter meter;
  pushed(meter, {0, byte_ns, 3});
  pushed(meter, {10 * byte_ns - byte_ns, byte_ns, 1});
  CHECK(*meter.mean() == doctest::Approx(0.4));
  LoadMeter at_once;
  pushed(at_once, {0, 0, 24});
  CHECK(*at_once.mean() == doctest::Approx(24.0));
}

TEST_CASE("more than 281 bytes in a window is over 90 %, and its oldest byte is named") {
  LoadMeter meter;
  CHECK(pushed(meter, {7 * ms, byte_ns, 281}).empty());
  CHECK(pushed(meter, {7 * ms + 281 * byte_ns, byte_ns, 1}) == Windows{7 * ms});
}

TEST_CASE("an episode lasts until a window is at 90 % or less") {
  LoadMeter meter;
  CHECK(pushed(meter, {0, 0, 400}) == Windows{0});
  CHECK(pushed(meter, {50 * ms, 0, 281}).empty());
  CHECK(pushed(meter, {100 * ms - 1, 0, 1}).empty());  // still one episode
  CHECK(pushed(meter, {150 * ms - 1, 0, 1}).empty());  // 283 left
  CHECK(pushed(meter, {150 * ms, 0, 279}).empty());    // 281: the episode is over
  CHECK(pushed(meter, {150 * ms + 1, 0, 1}) == Windows{100 * ms - 1});
}

TEST_CASE("a byte before the newest is taken as at the newest") {
  LoadMeter meter;
  pushed(meter, {0, byte_ns, 3});
  pushed(meter, {0, byte_ns, 3});
  CHECK(meter.at(2 * byte_ns + 100 * ms - 1) == 4 / 312.5);
  CHECK(meter.at(2 * byte_ns + 100 * ms) == 0.0);
  CHECK(*meter.mean() == doctest::Approx(2.0));
}

TEST_CASE("the meter agrees with counting every window, on random blocks") {
  std::mt19937 random(1);
  const std::size_t counts[] = {1, 2, 3, 3, 3, 10, 64, 400};
  for (int round = 0; round < 300; ++round) {
    LoadMeter meter;
    Slow slow;
    std::int64_t t_ns = 0;
    const std::int64_t pause_ns = (1 + static_cast<std::int64_t>(random() % 40)) * ms / 10;
    for (int i = 0; i < 200; ++i) {
      const Block block{t_ns, random() % 4 == 0 ? 0 : byte_ns, counts[random() % 8]};
      REQUIRE(pushed(meter, block) == slow.push(block));
      const auto length_ns = static_cast<std::int64_t>(block.count) * byte_ns;
      t_ns += random() % 3 == 0 ? length_ns : static_cast<std::int64_t>(random()) % (3 * pause_ns);
      if (random() % 50 == 0) t_ns += 150 * ms;
      REQUIRE(meter.at(slow.times.back()) == slow.at(slow.times.back()));
      REQUIRE(meter.peak() == static_cast<double>(slow.peak) / 312.5);
    }
    const double wire_ns = static_cast<double>(slow.times.size()) * byte_ns;
    const auto length_ns = static_cast<double>(slow.times.back() + byte_ns - slow.times.front());
    REQUIRE(*meter.mean() == doctest::Approx(wire_ns / length_ns));
  }
}

TEST_CASE("the cut into blocks changes nothing, though a block may hold many episodes") {
  LoadMeter meter;
  for (int i = 0; i < 141; ++i) pushed(meter, {i * 2 * byte_ns, 0, 2});
  LoadMeter pieces = meter;
  std::vector<Overload> whole_overloads;
  std::vector<Overload> piece_overloads;
  // Each pair that leaves makes room for two bytes, so that 281 and 282 take turns.
  meter.push(100 * ms, byte_ns, 100, whole_overloads);
  for (int i = 0; i < 100; ++i) {
    pieces.push(100 * ms + i * byte_ns, byte_ns, 1, piece_overloads);
  }
  REQUIRE(whole_overloads.size() == 50);
  REQUIRE(piece_overloads.size() == 50);
  for (std::size_t i = 0; i < 50; ++i) {
    CHECK(whole_overloads[i].window_ns == piece_overloads[i].window_ns);
    CHECK(whole_overloads[i].at_ns == piece_overloads[i].at_ns);
    CHECK(whole_overloads[i].load == 282 / 312.5);
  }
  CHECK(whole_overloads[0].at_ns == 100 * ms + byte_ns);
  CHECK(meter.peak() == pieces.peak());
}

TEST_CASE("a flood of uneven bytes counts at once and leaves the window in the end") {
  LoadMeter meter;
  std::int64_t t_ns = 0;
  for (int i = 0; i < 100'000; ++i) pushed(meter, {t_ns += 100 + i % 7, 0, 1});
  CHECK(meter.peak() == 100'000 / 312.5);
  // The price of bounded memory: all but the first runs count as at the last of these.
  CHECK(meter.at(101 * ms) == 0.0);
  pushed(meter, {t_ns + 100 * ms, 0, 1});
  CHECK(meter.at(t_ns + 100 * ms) == 1 / 312.5);
}
