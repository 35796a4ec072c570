// tests/app/io/signals_test.cpp
#include "app/io/signals.h"

#include <csignal>
#include <vector>

#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include "app/io/clock.h"
#include "app/io/doorbell.h"

using namespace strumwright::io;

TEST_CASE("a signal becomes a call on another thread, and ends nothing") {
  Doorbell bell;
  std::atomic<int> got{0};
  std::atomic<bool> elsewhere{false};
  const auto main_thread = std::this_thread::get_id();
  {
    const Signals signals([&](int number) {
      got = number;
      elsewhere = std::this_thread::get_id() != main_thread;
      bell.ring();
    });
    for (const int number : {SIGTERM, SIGINT}) {
      const auto seen = bell.count();
      ::kill(::getpid(), number);
      bell.wait(seen, 5'000'000'000);
      CHECK(got == number);
      CHECK(elsewhere);
    }
  }
}

TEST_CASE("the third signal ends the process at once") {
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    const Signals signals([](int) {});
    for (int i = 0; i < 3; ++i) {
      ::kill(::getpid(), SIGINT);
      ::usleep(100'000);  // equal signals that wait are one
    }
    std::_Exit(0);
  }
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  REQUIRE(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 128 + SIGINT);
}
