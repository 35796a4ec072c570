// app/screens/parts/message_text.h
#pragma once

#include <cstdint>
#include <string>

#include "core/midi/event.h"

namespace strumwright::screens {

/// What stands below a message in the byte ribbon: "G2", "CC 64", "sensing".
[[nodiscard]] std::string message_label(const midi::Event& event);

/// The message in words: "note on, channel 1, G2, velocity 80". `count`: bytes that it spans, where
/// a count came with it, else 0.
[[nodiscard]] std::string message_words(const midi::Event& event, std::uint64_t count);

}  // namespace strumwright::screens
