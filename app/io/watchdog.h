// app/io/watchdog.h
#pragma once

#include <cstdint>
#include <functional>

namespace strumwright::io {

/// Runs `close` on a thread of its own and waits for it up to `limit_ms`. False if it hangs: it is
/// then left behind with all that it holds, for closing a dead port can block for ever (RtMidi
/// #325, #372, #380). `close` must own what it touches.
bool close_within(std::function<void()> close, std::int64_t limit_ms);

}  // namespace strumwright::io
