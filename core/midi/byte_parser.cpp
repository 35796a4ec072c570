// core/midi/byte_parser.cpp
#include "core/midi/byte_parser.h"

#include <algorithm>
#include <bit>
#include <cstring>

#include "core/midi/byte_window.h"
#include "core/midi/status.h"

namespace strumwright::midi {

namespace {

/// So many bytes of printed text in a row make a run `Code::text` (ours).
constexpr std::uint8_t text_bytes = 8;

constexpr bool is_readable(std::uint8_t byte) {
  return (byte >= 0x20 && byte <= 0x7E) || byte == 0x0D || byte == 0x0A;
}

constexpr std::uint8_t raw(Code code) { return static_cast<std::uint8_t>(code); }

Event count_event(std::uint64_t count, std::uint64_t byte) {
  return make_event(static_cast<std::int64_t>(count), raw(Code::count), 0, 0, false, byte);
}

/// What reading in blocks must know of a status byte.
struct StatusRow {
  std::uint32_t word = 0;         ///< its event without data, time and index
  std::uint32_t cut_word = 0;     ///< the same if it is cut short before any data
  std::uint32_t data_mask = 0;    ///< of four bytes from its own on, those that are its data
  std::uint8_t running_kept = 0;  ///< of running status before it, as a mask
  std::uint8_t running_set = 0;
  std::uint8_t wanted = 0;  ///< data bytes
  std::uint8_t flags = 0;
};
constexpr std::uint8_t is_a_message = 1;    ///< when it is whole
constexpr std::uint8_t is_transparent = 2;  ///< leaves an open message open

constexpr StatusRow make_row(std::uint8_t status) {
  StatusRow row;
  const bool transparent = is_real_time(status) && status != system_reset;
  row.wanted = static_cast<std::uint8_t>(data_bytes(status));
  row.data_mask = row.wanted == 2 ? 0xFFFF00 : row.wanted == 1 ? 0xFF00 : 0;
  row.running_kept = transparent ? 0xFF : 0;
  row.running_set = is_channel_status(status) ? status : 0;
  if (!is_undefined(status) && status != sysex_end) row.flags |= is_a_message;
  if (transparent) row.flags |= is_transparent;
  row.word = status;
  if (is_undefined(status)) row.word = raw(Code::undefined) | std::uint32_t{status} << 8U;
  if (status == sysex_end) row.word = raw(Code::eox_alone);
  row.cut_word = raw(Code::cut_short) | std::uint32_t{status} << 8U;
  return row;
}

/// Data bytes have rows too, for they leave running status as it is.
constexpr std::array<StatusRow, 256> make_rows() {
  std::array<StatusRow, 256> rows{};
  for (auto& row : rows) row.running_kept = 0xFF;
  for (unsigned byte = 0x80; byte < 0x100; ++byte)
    rows[byte] = make_row(static_cast<std::uint8_t>(byte));
  return rows;
}

constexpr std::array<StatusRow, 256> rows = make_rows();

constexpr std::uint64_t running_flag = std::uint64_t{1} << 24U;

/// More statuses than this in a window are read by masks, fewer one after the other (measured).
constexpr unsigned few_statuses = 8;

bool transparent(std::uint8_t byte) { return (rows[byte].flags & is_transparent) != 0; }

std::uint64_t two_bytes(const std::uint8_t* at) { return at[0] | std::uint64_t{at[1]} << 8U; }

std::uint32_t four_bytes(const std::uint8_t* at) {
  return at[0] | std::uint32_t{at[1]} << 8U | std::uint32_t{at[2]} << 16U |
         std::uint32_t{at[3]} << 24U;
}

}  // namespace

/// One push of many bytes: read by the status bytes, which a mask of 64 bytes finds, a whole
/// message at a time and without asking by a branch whether all of it came, since nobody can
/// foresee that in random bytes. What is rare (most system bytes, data without status, real-time
/// bytes inside a message) goes through the parser byte by byte. Inline throughout, so that members
/// are registers.
class ByteParser::Block {
 public:
  Block(ByteParser& parser, std::span<const std::uint8_t> bytes, std::int64_t first_ns,
        std::int64_t step_ns, Event* out)
      : parser_(parser),
        bytes_(bytes.data()),
        size_(bytes.size()),
        first_ns_(static_cast<std::uint64_t>(first_ns)),
        step_ns_(static_cast<std::uint64_t>(step_ns)),
        first_index_(parser.counts_.bytes),
        out_(out) {}

  [[gnu::always_inline]] Event* read() {
    if (has_window()) {
      step_to_rest();
      running_ = parser_.running_;
      while (has_window()) read_window();
      if (at_ != size_) hand_over();
    }
    if (at_ != size_) step(size_);
    parser_.counts_.messages += messages_;
    parser_.counts_.running_used += running_messages_;
    parser_.counts_.running_possible += could_run_ + running_messages_;
    return out_;
  }

 private:
  /// A whole window, and three bytes that are read beyond a status at its end.
  [[nodiscard]] bool has_window() const { return size_ - at_ >= window_bytes + 3; }

  /// Ends where no message is open, a few bytes before the window's end or further on.
  [[gnu::always_inline]] void read_window() {
    window_ = bytes_ + at_;
    before_ = at_;
    window_ns_ = first_ns_ + step_ns_ * at_;
    window_word_ = (first_index_ + at_) << 25U;
    const std::uint64_t statuses = bit_plane<7>(window_);
    if (bits_set(statuses) > few_statuses) {
      read_dense();
    } else {
      read_sparse(statuses);
    }
  }

  /// All messages of the window by masks, whether whole or cut, own status or not.
  [[gnu::always_inline]] void read_dense() {
    const WindowMasks masks = window_masks(window_);
    std::size_t at = 0;
    while (true) {
      const Segment segment = next_segment(masks, at, rows[running_].wanted);
      auto first = static_cast<std::size_t>(std::countr_zero(segment.firsts));
      for (auto left = segment.firsts & (segment.firsts - 1); left != 0; left &= left - 1) {
        const auto next = static_cast<std::size_t>(std::countr_zero(left));
        read_message(first, next, window_[first] >> 7U, segment.cut >> first & 1U);
        first = next;
      }
      messages_ += segment.messages;
      running_messages_ += segment.running;
      at = segment.stop;
      if (segment.hard != 0 || (segment.fresh != 0 && running_ == 0)) {
        at = segment.torn != 0 ? read_torn(at) : read_apart(at, ~masks.data);
        if (at >= window_bytes - 3) break;
      } else if (segment.fresh == 0) {
        break;
      }
    }
    at_ = before_ + at;
  }

  /// The message that begins at `first`, or what came of it before `next`. `own` is 1 if it has a
  /// status byte, else 0.
  [[gnu::always_inline]] void read_message(std::size_t first, std::size_t next, std::size_t own,
                                           std::uint64_t is_cut) {
    const std::uint8_t byte = window_[first];
    const StatusRow& row = rows[own != 0 ? byte : running_];
    const std::uint64_t room = next - first - own;
    const std::uint32_t whole_word =
        row.word | (four_bytes(window_ + first + own - 1) & row.data_mask);
    const std::uint32_t cut_word = row.cut_word | static_cast<std::uint32_t>(room) << 16U;
    const std::uint32_t word =
        whole_word ^ ((cut_word ^ whole_word) & -static_cast<std::uint32_t>(is_cut));
    // One below the index's lowest bit is the flag of running status.
    out_->word = word + window_word_ + running_flag + ((2 * first - own) << 24U);
    out_->t_ns = static_cast<std::int64_t>(window_ns_ + step_ns_ * first);
    ++out_;
    could_run_ += (is_cut ^ 1U) & (byte == running_ ? 1U : 0U);
    // Not by `row`, which hangs on running status itself: each message would wait for the one
    // before.
    running_ = (running_ & rows[byte].running_kept) | rows[byte].running_set;
  }

  /// A message with real-time bytes inside. Returns where it ends.
  [[gnu::always_inline]] std::size_t read_torn(const std::size_t first) {
    const std::size_t own = window_[first] >> 7U;
    const StatusRow& row = rows[own != 0 ? window_[first] : running_];
    std::uint64_t word = row.word;
    std::uint64_t came = 0;
    std::size_t at = first + own;
    for (; came != row.wanted && at != window_bytes; ++at) {
      const std::uint8_t byte = window_[at];
      if (byte < 0x80) {
        word |= std::uint64_t{byte} << (8U + 8U * came);
        ++came;
      } else if (!transparent(byte)) {
        break;
      }
    }
    if (came != row.wanted && at == window_bytes) return read_odd(first);
    for (std::size_t i = first + own; i != at; ++i) {
      if (window_[i] < 0x80) continue;
      give(i, rows[window_[i]].word);
      messages_ += rows[window_[i]].flags & is_a_message;
    }
    const bool whole = came == row.wanted;
    give(first, (whole ? word : row.cut_word | came << 16U) | (own ^ 1U) << 24U);
    if (whole) {
      messages_ += 1;
      running_messages_ += own ^ 1U;
      could_run_ += window_[first] == running_ ? 1 : 0;
    }
    if (own != 0) running_ = row.running_set;
    return at;
  }

  /// A short run without status or an open SysEx, up to the next status. Returns its place.
  [[gnu::always_inline]] std::size_t read_apart(std::size_t at, std::uint64_t statuses) {
    const std::uint64_t rest = statuses & (~std::uint64_t{1} << at);
    const auto next = static_cast<std::size_t>(std::countr_zero(rest));
    const bool sysex = window_[at] == sysex_start;
    const std::uint8_t ending = rest == 0 ? sysex_end : window_[next];
    const bool easy = sysex ? ending != sysex_end && !transparent(ending)
                            : rest != 0 && !is_real_time(ending) && next - at < text_bytes;
    if (!easy) return read_odd(at);
    give(at, raw(sysex ? Code::sysex_open : Code::stray));
    *out_ = {static_cast<std::int64_t>(next - at),
             raw(Code::count) | (window_word_ + (std::uint64_t{at} << 25U))};
    ++out_;
    if (sysex) parser_.sysex_whole_ = false;
    running_ = 0;
    return next;
  }

  /// The window from status to status, with long runs of data between them.
  [[gnu::always_inline]] void read_sparse(std::uint64_t statuses) {
    std::size_t at = 0;
    while (true) {
      const auto status = static_cast<std::size_t>(std::countr_zero(statuses));
      bool easy = at == status || read_running(at, status, statuses != 0);
      if (easy) {
        if (statuses == 0) break;
        const std::uint64_t rest = statuses & (statuses - 1);
        // If none follows, its data may stand in the next window.
        if (rest == 0 && status + 2 >= window_bytes) break;
        const auto next = static_cast<std::size_t>(std::countr_zero(rest));
        const StatusRow& row = rows[window_[status]];
        const bool whole = next - status > row.wanted;
        easy = window_[status] != sysex_start && (whole || !transparent(window_[next]));
        if (easy) {
          read_message(status, next, 1, whole ? 0 : 1);
          messages_ += whole ? row.flags & is_a_message : 0;
          at = status + 1 + std::min<std::size_t>(next - status - 1, row.wanted);
          statuses = rest;
          continue;
        }
      }
      // Not easy is data without status, F0, or a message with real-time bytes inside.
      const bool torn = window_[at] != sysex_start && (running_ != 0 || is_status(window_[at]));
      at = torn ? read_torn(at) : read_odd(at);
      if (at >= window_bytes) break;
      statuses &= ~std::uint64_t{0} << at;
    }
    at_ = before_ + at;
  }

  /// What is left to the parser, from `at` to where no message is open. Returns that place.
  [[gnu::always_inline]] std::size_t read_odd(std::size_t at) {
    at_ = before_ + at;
    hand_over();
    step_to_rest();
    running_ = parser_.running_;
    return at_ - before_;
  }

  /// Data bytes from `at` to the next status, or to the window's end if it has none. False: no
  /// status is in force, or a real-time byte stands inside the message at `at`.
  [[gnu::always_inline]] bool read_running(std::size_t& at, std::size_t status, bool ends) {
    if (running_ == 0) return false;
    const std::size_t wanted = rows[running_].wanted;
    const std::uint64_t messages = wanted == 2 ? (status - at) / 2 : status - at;
    if (wanted == 2) {
      read_pairs(at, messages);
    } else {
      for (; at != status; ++at) {
        give(at, running_ | running_flag | std::uint64_t{window_[at]} << 8U);
      }
    }
    messages_ += messages;
    running_messages_ += messages;
    if (at == status || !ends) return true;
    if (transparent(window_[status])) return false;
    const std::uint64_t one_came = std::uint64_t{1} << 16U;
    give(at, rows[running_].cut_word | running_flag | one_came);
    at = status;
    return true;
  }

  [[gnu::always_inline]] void read_pairs(std::size_t& at, std::size_t messages) {
    const std::uint8_t* data = window_ + at;
    std::uint64_t word = running_ | running_flag | (window_word_ + (std::uint64_t{at} << 25U));
    std::uint64_t t_ns = window_ns_ + step_ns_ * at;
    for (std::size_t i = 0; i < messages; ++i) {
      out_[i] = {static_cast<std::int64_t>(t_ns), word | two_bytes(data + 2 * i) << 8U};
      t_ns += 2 * step_ns_;
      word += std::uint64_t{2} << 25U;
    }
    out_ += messages;
    at += 2 * messages;
  }

  [[gnu::always_inline]] void give(std::size_t first, std::uint64_t word) {
    *out_++ = {static_cast<std::int64_t>(window_ns_ + step_ns_ * first),
               word | (window_word_ + (std::uint64_t{first} << 25U))};
  }

  void step_to_rest() { step(0); }

  [[gnu::always_inline]] void step(std::size_t least) {
    const auto place = parser_.take_to_rest({bytes_ + at_, size_ - at_}, least,
                                            first_ns_ + step_ns_ * at_, step_ns_, out_);
    at_ += place.bytes;
    out_ = place.out;
  }

  void hand_over() {
    parser_.running_ = static_cast<std::uint8_t>(running_);
    parser_.phase_ = parser_.resting();
    parser_.counts_.bytes = first_index_ + at_;
  }

  ByteParser& parser_;
  const std::uint8_t* bytes_;
  std::size_t size_;
  std::size_t at_ = 0;
  std::uint64_t first_ns_;
  std::uint64_t step_ns_;
  std::uint64_t first_index_;
  const std::uint8_t* window_ = nullptr;
  std::size_t before_ = 0;         ///< bytes before the window
  std::uint64_t window_ns_ = 0;    ///< when the window began
  std::uint64_t window_word_ = 0;  ///< its index, as in an event
  Event* out_;
  // Beside what the parser counts itself:
  std::uint64_t messages_ = 0;
  std::uint64_t running_messages_ = 0;
  std::uint64_t could_run_ = 0;
  unsigned running_ = 0;
};

std::size_t ByteParser::push(std::span<const std::uint8_t> bytes, std::int64_t first_ns,
                             std::int64_t step_ns, Event* out) {
  return static_cast<std::size_t>(Block(*this, bytes, first_ns, step_ns, out).read() - out);
}

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
