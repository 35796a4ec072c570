// core/midi/byte_parser.cpp
#include "core/midi/byte_parser.h"

#include <algorithm>
#include <cstring>

#include "core/midi/status.h"

namespace strumwright::midi {

namespace {

constexpr bool is_readable(std::uint8_t byte) {
  return (byte >= 0x20 && byte <= 0x7E) || byte == 0x0D || byte == 0x0A;
}

Event count_event(std::uint64_t count, std::uint64_t byte) {
  return make_event(static_cast<std::int64_t>(count), raw(Code::count), 0, 0, false, byte);
}

}  // namespace

std::size_t ByteParser::lose(Event* out) {
  Event* const end = phase_ == Phase::run ? give_run(out) : out;
  running_ = 0;
  phase_ = Phase::muted;
  return static_cast<std::size_t>(end - out);
}

std::size_t ByteParser::finish(Event* out) {
  Event* const end = give_open(out);
  if (phase_ != Phase::muted) phase_ = resting();
  return static_cast<std::size_t>(end - out);
}

std::optional<std::int64_t> ByteParser::open_since_ns() const {
  switch (phase_) {
    case Phase::sysex:
    case Phase::own_one:
    case Phase::own_two:
    case Phase::second:
    case Phase::common_two:
    case Phase::common_second:
      return open_.t_ns;
    default:
      return std::nullopt;
  }
}

std::uint8_t ByteParser::running_status() const { return running_; }

const ParserCounts& ByteParser::counts() const { return counts_; }

std::span<const std::uint8_t> ByteParser::sysex() const {
  return {kept_.data(), sysex_whole_ ? kept_size_ : 0};
}

/// Takes at least `least` bytes and one, and on to where no message, SysEx or run is open or
/// begins.
ByteParser::Taken ByteParser::take_to_rest(std::span<const std::uint8_t> bytes, std::size_t least,
                                           std::uint64_t t_ns, std::uint64_t step_ns, Event* out) {
  std::size_t at = 0;
  do {
    std::size_t taken = phase_ == Phase::sysex ? keep_sysex(bytes.subspan(at)) : 0;
    if (taken == 0) {
      // Times are unsigned: a step without meaning must not be undefined behaviour.
      out = take(bytes[at], static_cast<std::int64_t>(t_ns), out);
      taken = 1;
    }
    t_ns += step_ns * taken;
    at += taken;
  } while (at != bytes.size() && (at < least || !at_rest(bytes[at])));
  return {at, out};
}

bool ByteParser::at_rest(std::uint8_t next) const {
  if (!status_seen_) return false;
  if (phase_ == Phase::stray) return is_status(next);
  return phase_ == Phase::idle_one || phase_ == Phase::idle_two;
}

Event* ByteParser::take_other(std::uint8_t byte, std::int64_t t_ns, Event* out) {
  if (!is_status(byte)) {
    out = take_data(byte, t_ns, out);
  } else if (is_real_time(byte)) {
    out = take_real_time(byte, t_ns, out);
  } else {
    out = take_status(byte, t_ns, out);
  }
  ++counts_.bytes;
  return out;
}

Event* ByteParser::take_data(std::uint8_t byte, std::int64_t t_ns, Event* out) {
  switch (phase_) {
    case Phase::common_two:
      open_.word |= std::uint64_t{byte} << 8U;
      phase_ = Phase::common_second;
      return out;
    case Phase::common_second:
      return complete({open_.t_ns, open_.word | std::uint64_t{byte} << 16U}, out);
    case Phase::own_one:
      return complete({open_.t_ns, open_.word | std::uint64_t{byte} << 8U}, out);
    case Phase::idle_one:
      return complete(make_event(t_ns, running_, byte, 0, true, counts_.bytes), out);
    case Phase::sysex:
      keep_sysex(byte);
      return out;
    case Phase::stray:
      open(0, t_ns, Phase::run);
      length_ = readable_ = 0;
      text_ = false;
      [[fallthrough]];
    case Phase::run:
      grow_run(byte);
      return out;
    default:  // of no interest, or taken already
      return out;
  }
}

Event* ByteParser::take_status(std::uint8_t byte, std::int64_t t_ns, Event* out) {
  if (byte == sysex_end && phase_ == Phase::sysex) return end_sysex(out);
  out = give_open(out);
  status_seen_ = true;
  const std::uint8_t before = running_;
  if (!is_channel_status(byte)) {
    const bool after_loss = phase_ == Phase::muted;
    running_ = 0;
    return take_common(byte, t_ns, after_loss, out);
  }
  could_run_ = byte == before;
  running_ = byte;
  open(byte, t_ns, data_bytes(byte) == 1 ? Phase::own_one : Phase::own_two);
  return out;
}

Event* ByteParser::take_common(std::uint8_t byte, std::int64_t t_ns, bool after_loss, Event* out) {
  if (byte == sysex_start) {
    open(byte, t_ns, Phase::sysex);
    length_ = kept_size_ = 0;
    sysex_whole_ = false;
    keep_sysex(byte);
    return out;
  }
  if (const int wanted = data_bytes(byte); wanted != 0) {
    open(byte, t_ns, wanted == 1 ? Phase::own_one : Phase::common_two);
    return out;
  }
  phase_ = Phase::stray;
  if (is_undefined(byte)) {
    *out++ = make_event(t_ns, raw(Code::undefined), byte, 0, false, counts_.bytes);
  } else if (byte != sysex_end) {
    return complete(make_event(t_ns, byte, 0, 0, false, counts_.bytes), out);
  } else if (!after_loss) {
    *out++ = make_event(t_ns, raw(Code::eox_alone), 0, 0, false, counts_.bytes);
  }
  return out;
}

Event* ByteParser::take_real_time(std::uint8_t byte, std::int64_t t_ns, Event* out) {
  if (is_undefined(byte)) {
    *out++ = make_event(t_ns, raw(Code::undefined), byte, 0, false, counts_.bytes);
    return out;
  }
  if (byte == system_reset) {
    // Obeyed as by a receiver, so it ends what is open; but real-time bytes break no run.
    if (phase_ != Phase::run) out = give_open(out);
    running_ = 0;
    if (phase_ != Phase::run && phase_ != Phase::muted) phase_ = Phase::stray;
  }
  *out++ = make_event(t_ns, byte, 0, 0, false, counts_.bytes);
  ++counts_.messages;
  return out;
}

/// A channel or common message; those of the channel leave running status behind.
Event* ByteParser::complete(Event message, Event* out) {
  *out++ = message;
  phase_ = resting();
  if (running_ != 0) {
    count_channel_message(message.running());
  } else {
    ++counts_.messages;
  }
  return out;
}

Event* ByteParser::end_sysex(Event* out) {
  keep_sysex(sysex_end);
  sysex_whole_ = true;
  ++counts_.messages;
  phase_ = Phase::stray;
  *out++ = open_;
  *out++ = count_event(length_, open_.byte());
  return out;
}

/// Gives what the end of the input or another status finds open, and changes nothing.
Event* ByteParser::give_open(Event* out) const {
  const auto cut_short = [&](std::uint8_t data_got) {
    *out++ = make_event(open_.t_ns, raw(Code::cut_short), open_.code(), data_got, open_.running(),
                        open_.byte());
    return out;
  };
  switch (phase_) {
    case Phase::run:
      return give_run(out);
    case Phase::sysex:
      *out++ = make_event(open_.t_ns, raw(Code::sysex_open), 0, 0, false, open_.byte());
      *out++ = count_event(length_, open_.byte());
      return out;
    case Phase::own_one:
    case Phase::own_two:
    case Phase::common_two:
      return cut_short(0);
    case Phase::second:
    case Phase::common_second:
      return cut_short(1);
    default:
      return out;
  }
}

Event* ByteParser::give_run(Event* out) const {
  const Code unnamed = status_seen_ ? Code::stray : Code::joined;
  *out++ = make_event(open_.t_ns, raw(text_ ? Code::text : unnamed), 0, 0, false, open_.byte());
  *out++ = count_event(length_, open_.byte());
  return out;
}

void ByteParser::open(std::uint8_t status, std::int64_t t_ns, Phase next) {
  open_ = make_event(t_ns, status, 0, 0, false, counts_.bytes);
  phase_ = next;
}

void ByteParser::grow_run(std::uint8_t byte) {
  ++length_;
  readable_ = is_readable(byte) ? static_cast<std::uint8_t>(readable_ + 1) : 0;
  if (readable_ < text_bytes) return;
  text_ = true;
  readable_ = text_bytes - 1;  // never wraps, however long the text
}

void ByteParser::keep_sysex(std::uint8_t byte) {
  ++length_;
  if (kept_size_ < kept_.size()) kept_[kept_size_++] = byte;
}

/// The data bytes that `bytes` begin with; returns how many.
std::size_t ByteParser::keep_sysex(std::span<const std::uint8_t> bytes) {
  const auto eight_data = [](const std::uint8_t* at) {
    std::uint64_t eight = 0;
    std::memcpy(&eight, at, 8);
    return (eight & 0x8080808080808080U) == 0;
  };
  std::size_t size = 0;
  while (size + 8 <= bytes.size() && eight_data(bytes.data() + size)) size += 8;
  while (size < bytes.size() && !is_status(bytes[size])) ++size;
  const std::size_t kept = std::min(size, kept_.size() - kept_size_);
  std::copy_n(bytes.begin(), kept, kept_.begin() + static_cast<std::ptrdiff_t>(kept_size_));
  kept_size_ += kept;
  length_ += size;
  counts_.bytes += size;
  return size;
}

/// Where a message leaves the parser.
ByteParser::Phase ByteParser::resting() const {
  if (running_ == 0) return Phase::stray;
  return data_bytes(running_) == 1 ? Phase::idle_one : Phase::idle_two;
}

}  // namespace strumwright::midi
