// app/io/thread_priority.h
#pragma once

namespace strumwright::io {

/// Asks that the calling thread runs before ordinary ones, for those that stamp or judge what comes
/// in: on a busy machine a thread without this wakes milliseconds late. Below the priority of
/// JACK's own threads (10). Where the system does not allow it, the thread stays as it is.
/// False then. The thread must wait for most of its time.
bool run_promptly() noexcept;

}  // namespace strumwright::io
