// app/io/message_cutter.cpp
#include "app/io/message_cutter.h"

#include "core/midi/status.h"

namespace strumwright::io {

void MessageCutter::push(std::span<const std::uint8_t> bytes, const Give& give) {
  for (const std::uint8_t byte : bytes) {
    if (midi::is_real_time(byte)) {
      give({&byte, 1});
    } else if (midi::is_status(byte)) {
      take_status(byte, give);
    } else {
      take_data(byte, give);
    }
  }
}

void MessageCutter::finish(const Give& give) {
  if (in_sysex_ && !sysex_.empty()) give(sysex_);
  if (have_ > 0) give({open_.data(), have_});
  in_sysex_ = false;
  have_ = 0;
}

void MessageCutter::take_status(std::uint8_t byte, const Give& give) {
  if (byte == midi::sysex_end && in_sysex_) {
    sysex_.push_back(byte);
    finish(give);
    return;
  }
  finish(give);
  running_ = midi::is_channel_status(byte) ? byte : 0;
  if (byte == midi::sysex_start) {
    in_sysex_ = true;
    sysex_.assign(1, byte);
  } else if (midi::data_bytes(byte) == 0) {
    give({&byte, 1});
  } else {
    open_[0] = byte;
    have_ = 1;
  }
}

void MessageCutter::take_data(std::uint8_t byte, const Give& give) {
  if (in_sysex_) {
    sysex_.push_back(byte);
    if (sysex_.size() < longest_sysex) return;
    give(sysex_);
    sysex_.clear();
    return;
  }
  if (have_ == 0 && running_ == 0) {
    give({&byte, 1});
    return;
  }
  if (have_ == 0) open_[have_++] = running_;
  open_[have_++] = byte;
  if (static_cast<int>(have_) <= midi::data_bytes(open_[0])) return;
  give({open_.data(), have_});
  have_ = 0;
}

}  // namespace strumwright::io
