// app/io/signals.cpp
#include "app/io/signals.h"

#include <csignal>
#include <cstdlib>
#include <utility>

#include <pthread.h>

namespace strumwright::io {

namespace {

constexpr int patience = 2;
/// Ends our own wait; sent to our thread only, so nobody else's use of it is disturbed.
constexpr int end_signal = SIGUSR2;

sigset_t waited_for() {
  sigset_t set;
  sigemptyset(&set);
  for (const int number : {SIGINT, SIGTERM, SIGHUP, end_signal}) sigaddset(&set, number);
  return set;
}

}  // namespace

Signals::Signals(std::function<void(int)> on_signal) : on_signal_(std::move(on_signal)) {
  const sigset_t set = waited_for();
  pthread_sigmask(SIG_BLOCK, &set, &mask_before_);
  std::signal(SIGPIPE, SIG_IGN);
  thread_ = std::thread([this] { run(); });
}

Signals::~Signals() {
  closing_ = true;
  pthread_kill(thread_.native_handle(), end_signal);
  thread_.join();
  pthread_sigmask(SIG_SETMASK, &mask_before_, nullptr);
}

void Signals::run() {
  const sigset_t set = waited_for();
  for (int asked = 0;;) {
    int number = 0;
    if (sigwait(&set, &number) != 0 || closing_) return;
    if (number == end_signal) continue;
    // 128 + number: common practice of shells, no source.
    if (++asked > patience) std::_Exit(128 + number);
    on_signal_(number);
  }
}

}  // namespace strumwright::io
