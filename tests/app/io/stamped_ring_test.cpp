// tests/app/io/stamped_ring_test.cpp
#include "app/io/stamped_ring.h"

#include <array>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::io;
using Kind = StampedRing::Kind;

namespace {

std::vector<std::uint8_t> pattern(std::size_t size, std::uint64_t seed) {
  std::vector<std::uint8_t> bytes(size);
  for (std::size_t i = 0; i < size; ++i) bytes[i] = static_cast<std::uint8_t>(seed * 31 + i * 7);
  return bytes;
}

}  // namespace

TEST_CASE("a ring gives back chunks and link changes in order, with their stamps") {
  Doorbell bell;
  StampedRing ring(bell);
  CHECK(ring.front() == nullptr);
  const std::array<std::uint8_t, 3> note{0x90, 0x3C, 0x64};
  CHECK(ring.push(1000, note));
  CHECK(ring.push_status(Kind::gone, 2000, "the port is gone"));
  CHECK(ring.push_status(Kind::back, 3000, ""));

  const auto* item = ring.front();
  REQUIRE(item != nullptr);
  CHECK(item->kind == Kind::chunk);
  CHECK(item->t_ns == 1000);
  CHECK(std::vector<std::uint8_t>(item->bytes.begin(), item->bytes.end()) ==
        std::vector<std::uint8_t>(note.begin(), note.end()));
  CHECK(ring.front() == item);
  ring.pop();
  CHECK(ring.front()->kind == Kind::gone);
  CHECK(ring.front()->text() == "the port is gone");
  ring.pop();
  CHECK(ring.front()->kind == Kind::back);
  CHECK(ring.front()->text().empty());
  ring.pop();
  CHECK(ring.front() == nullptr);
}

TEST_CASE("an empty chunk is nothing, and an earlier stamp is raised to the one before") {
  Doorbell bell;
  StampedRing ring(bell);
  const std::array<std::uint8_t, 1> byte{0xF8};
  CHECK(ring.push(5, {}));
  CHECK(ring.push(500, byte));
  CHECK(ring.push(499, byte));
  CHECK(ring.front()->t_ns == 500);
  ring.pop();
  CHECK(ring.front()->t_ns == 500);
  ring.pop();
  CHECK(ring.front() == nullptr);
}

TEST_CASE("a ring of the usual size takes 65,536 messages that nobody reads") {
  Doorbell bell;
  StampedRing ring(bell);
  const std::array<std::uint8_t, 3> note{0x90, 0x3C, 0x64};
  for (int i = 0; i < 65'536; ++i) REQUIRE(ring.push(i, note));
  CHECK(ring.lost_bytes() == 0);
}

TEST_CASE("a full ring counts what it dropped, at its place in the order") {
  Doorbell bell;
  StampedRing ring(bell, 8192);
  const auto bytes = pattern(1000, 1);
  int kept = 0;
  while (ring.push(kept, bytes)) ++kept;
  CHECK(kept == 4);  // 1,024 each beside the reserve of 4,096
  CHECK_FALSE(ring.push(50, bytes));
  CHECK(ring.lost_bytes() == 2000);
  CHECK(ring.push_status(Kind::gone, 60, "room for this is kept"));

  for (int i = 0; i < kept; ++i) {
    CHECK(ring.front()->lost_before == 0);
    CHECK(ring.front()->t_ns == i);
    ring.pop();
  }
  CHECK(ring.front()->kind == Kind::gone);
  CHECK(ring.front()->lost_before == 2000);
  ring.pop();
  CHECK(ring.front() == nullptr);
}

TEST_CASE("a loss that nothing follows is told by itself, once") {
  Doorbell bell;
  StampedRing ring(bell, 8192);
  const auto bytes = pattern(1000, 1);
  while (ring.push(7, bytes)) {
  }
  for (int i = 0; i < 4; ++i) {
    CHECK(ring.front()->kind == Kind::chunk);
    ring.pop();
  }
  REQUIRE(ring.front() != nullptr);
  CHECK(ring.front()->kind == Kind::lost);
  CHECK(ring.front()->lost_before == 1000);
  CHECK(ring.front()->t_ns == 7);
  ring.pop();
  CHECK(ring.front() == nullptr);
  CHECK(ring.push(8, bytes));
  CHECK(ring.front()->lost_before == 0);
}

TEST_CASE("a chunk beyond the memory is dropped and counted, not cut") {
  Doorbell bell;
  StampedRing ring(bell, 8192);
  CHECK_FALSE(ring.push(1, pattern(9000, 1)));
  CHECK(ring.front()->lost_before == 9000);
}

TEST_CASE("chunks of every length pass the end of the memory whole") {
  Doorbell bell;
  StampedRing ring(bell, 8192);
  for (std::size_t size = 1; size < 2000; ++size) {
    const auto bytes = pattern(size, size);
    REQUIRE(ring.push(static_cast<std::int64_t>(size), bytes));
    const auto* item = ring.front();
    REQUIRE(item != nullptr);
    REQUIRE(std::vector<std::uint8_t>(item->bytes.begin(), item->bytes.end()) == bytes);
    ring.pop();
  }
  CHECK(ring.lost_bytes() == 0);
}

TEST_CASE("two threads lose no byte without a count, and keep the order") {
  Doorbell bell;
  StampedRing ring(bell, 8192);
  constexpr std::uint64_t chunks = 200'000;
  std::uint64_t pushed_bytes = 0;
  std::thread producer([&] {
    for (std::uint64_t i = 0; i < chunks; ++i) {
      const auto bytes = pattern(8 + i % 57, i);
      pushed_bytes += bytes.size();
      ring.push(static_cast<std::int64_t>(i), bytes);
      if (i % 64 == 0) std::this_thread::yield();
    }
    ring.push_status(Kind::gone, chunks, "end");
  });
  std::uint64_t received = 0;
  std::uint64_t lost = 0;
  std::int64_t last = -1;
  std::uint64_t wrong = 0;
  for (bool done = false; !done;) {
    const auto seen = bell.count();
    const auto* item = ring.front();
    if (item == nullptr) {
      bell.wait(seen, 1'000'000'000);
      continue;
    }
    lost += item->lost_before;
    if (item->kind == Kind::gone) {
      done = true;
    } else if (item->kind == Kind::chunk) {
      const auto serial = static_cast<std::uint64_t>(item->t_ns);
      const auto expected = pattern(8 + serial % 57, serial);
      if (item->t_ns <= last ||
          !std::equal(item->bytes.begin(), item->bytes.end(), expected.begin(), expected.end())) {
        ++wrong;
      }
      last = item->t_ns;
      received += item->bytes.size();
    }
    ring.pop();
  }
  producer.join();
  CHECK(wrong == 0);
  CHECK(received + lost == pushed_bytes);
  CHECK(received > 0);
}
