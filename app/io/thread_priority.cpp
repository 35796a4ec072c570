// app/io/thread_priority.cpp
#include "app/io/thread_priority.h"

#include <pthread.h>
#include <sched.h>

namespace strumwright::io {

bool run_promptly() noexcept {
  sched_param wanted{};
  wanted.sched_priority = 5;  // ours: jackd -R and its clients run at 10 by default
  return ::pthread_setschedparam(::pthread_self(), SCHED_RR, &wanted) == 0;
}

}  // namespace strumwright::io
