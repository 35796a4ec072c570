// app/io/watchdog.cpp
#include "app/io/watchdog.h"

#include <chrono>
#include <future>
#include <thread>
#include <utility>

namespace strumwright::io {

bool close_within(std::function<void()> close, std::int64_t limit_ms) {
  std::promise<void> promise;
  auto done = promise.get_future();
  std::thread([close = std::move(close), promise = std::move(promise)]() mutable {
    close();
    close = nullptr;  // what it owns goes before we say that it is done
    promise.set_value();
  }).detach();
  return done.wait_for(std::chrono::milliseconds(limit_ms)) == std::future_status::ready;
}

}  // namespace strumwright::io
