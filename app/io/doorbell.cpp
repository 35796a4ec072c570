// app/io/doorbell.cpp
#include "app/io/doorbell.h"

#if defined(__linux__)
#include <climits>
#include <ctime>

#include <linux/futex.h>
#include <sys/syscall.h>
#include <unistd.h>
#else
#include <algorithm>
#include <chrono>
#include <thread>
#endif

namespace strumwright::io {

#if defined(__linux__)

namespace {

static_assert(sizeof(std::atomic<std::uint32_t>) == sizeof(std::uint32_t));

std::uint32_t* word(std::atomic<std::uint32_t>& count) noexcept {
  return reinterpret_cast<std::uint32_t*>(&count);
}

}  // namespace

void Doorbell::ring() noexcept {
  // Both sequentially consistent, as in `wait`: either we see the sleeper or it sees our count.
  count_.fetch_add(1, std::memory_order_seq_cst);
  if (!asleep_.load(std::memory_order_seq_cst)) return;
  syscall(SYS_futex, word(count_), FUTEX_WAKE_PRIVATE, INT_MAX, nullptr, nullptr, 0);
}

void Doorbell::wait(std::uint32_t seen, std::int64_t limit_ns) noexcept {
  if (limit_ns <= 0) return;
  asleep_.store(true, std::memory_order_seq_cst);
  if (count_.load(std::memory_order_seq_cst) == seen) {
    const timespec limit{static_cast<std::time_t>(limit_ns / 1'000'000'000),
                         static_cast<long>(limit_ns % 1'000'000'000)};
    syscall(SYS_futex, word(count_), FUTEX_WAIT_PRIVATE, seen, &limit, nullptr, 0);
  }
  asleep_.store(false, std::memory_order_relaxed);
}

#else

void Doorbell::ring() noexcept { count_.fetch_add(1, std::memory_order_release); }

void Doorbell::wait(std::uint32_t seen, std::int64_t limit_ns) noexcept {
  // No futex with a limit here: look twice a millisecond (ours).
  const auto until = std::chrono::steady_clock::now() + std::chrono::nanoseconds(limit_ns);
  while (count() == seen && std::chrono::steady_clock::now() < until) {
    std::this_thread::sleep_for(std::chrono::microseconds(500));
  }
}

#endif

}  // namespace strumwright::io
