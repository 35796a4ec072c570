// core/session/stream_tail.cpp
#include "core/session/stream_tail.h"

#include "core/midi/status.h"

namespace strumwright::session {

void StreamTail::push(std::span<const std::uint8_t> bytes) {
  for (const auto byte : bytes) push(byte);
}

void StreamTail::push(std::uint8_t byte) {
  if (!midi::is_status(byte)) {
    push_data(byte);
  } else if (byte == midi::system_reset) {
    clear();
  } else if (!midi::is_real_time(byte)) {
    const bool expects_more =
        midi::is_channel_status(byte) || byte == midi::sysex_start || midi::data_bytes(byte) > 0;
    status_ = expects_more ? byte : 0;
    has_data_ = false;
  }
}

void StreamTail::push_data(std::uint8_t byte) {
  if (status_ == 0 || status_ == midi::sysex_start) return;
  if (midi::data_bytes(status_) == 2 && !has_data_) {
    data_ = byte;
    has_data_ = true;
    return;
  }
  has_data_ = false;
  if (!midi::is_channel_status(status_)) status_ = 0;  // no running status for system messages
}

std::vector<std::uint8_t> StreamTail::bytes() const {
  if (status_ == 0) return {};
  if (has_data_) return {status_, data_};
  return {status_};
}

Continues continues(std::span<const std::uint8_t> restated, std::span<const std::uint8_t> bytes) {
  for (const auto byte : bytes) {
    if (byte == midi::system_reset) return Continues::no;
    if (midi::is_real_time(byte)) continue;
    const bool ends_sysex = byte == midi::sysex_end && restated.front() == midi::sysex_start;
    return !midi::is_status(byte) || ends_sysex ? Continues::yes : Continues::no;
  }
  return Continues::open;
}

}  // namespace strumwright::session
