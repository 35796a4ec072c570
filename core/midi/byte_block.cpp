// core/midi/byte_block.cpp
// ByteParser, many bytes at a time.
#include <algorithm>
#include <array>
#include <bit>

#include "core/midi/byte_parser.h"
#include "core/midi/byte_window.h"
#include "core/midi/status.h"

namespace strumwright::midi {

namespace {

/// How the event of a message is put together if so many data bytes follow its status.
struct EventForm {
  std::uint32_t word = 0;       ///< without data, time and index
  std::uint32_t data_mask = 0;  ///< of four bytes from the status on, those that are its data
};
constexpr std::size_t most_data = 2;  // of a message

/// What reading in blocks must know of a status byte.
struct StatusRow {
  std::uint8_t wanted = 0;  ///< data bytes
  std::uint8_t flags = 0;
};
constexpr std::uint8_t is_a_message = 1;    ///< when it is whole
constexpr std::uint8_t is_transparent = 2;  ///< leaves an open message open

constexpr EventForm make_form(std::uint8_t status, std::uint32_t came) {
  const auto wanted = static_cast<std::uint32_t>(data_bytes(status));
  const std::uint32_t named = std::uint32_t{status} << 8U;
  if (came < wanted) return {raw(Code::cut_short) | named | came << 16U, 0};
  if (is_undefined(status)) return {raw(Code::undefined) | named, 0};
  if (status == sysex_end) return {raw(Code::eox_alone), 0};
  return {status, wanted == 2 ? 0xFFFF00U : wanted == 1 ? 0xFF00U : 0U};
}

constexpr StatusRow make_row(std::uint8_t status) {
  StatusRow row;
  const bool transparent = is_real_time(status) && status != system_reset;
  row.wanted = static_cast<std::uint8_t>(data_bytes(status));
  if (!is_undefined(status) && status != sysex_end) row.flags |= is_a_message;
  if (transparent) row.flags |= is_transparent;
  return row;
}

constexpr std::array<StatusRow, 256> make_rows() {
  std::array<StatusRow, 256> rows{};
  for (unsigned byte = 0x80; byte < 0x100; ++byte)
    rows[byte] = make_row(static_cast<std::uint8_t>(byte));
  return rows;
}

constexpr std::array<StatusRow, 256> rows = make_rows();

constexpr std::uint64_t running_flag = std::uint64_t{1} << 24U;

/// By data bytes, up to `most_data`; four of them, so that a place needs no product.
using EventForms = std::array<EventForm, 4>;

/// Where the forms of messages without their own status byte stand.
constexpr unsigned without_status(unsigned running) { return running & 0x7FU; }

constexpr std::array<EventForms, 256> make_forms() {
  std::array<EventForms, 256> forms{};
  for (unsigned byte = 0x80; byte < 0x100; ++byte) {
    for (std::uint32_t came = 0; came <= most_data; ++came) {
      auto form = make_form(static_cast<std::uint8_t>(byte), came);
      forms[byte][came] = form;
      form.word |= running_flag;
      forms[without_status(byte)][came] = form;
    }
  }
  return forms;
}

constexpr std::array<EventForms, 256> forms = make_forms();

/// What any byte leaves of running status, as a mask, and what it puts in its place.
struct RunningAfter {
  std::uint32_t kept = 0xFF;
  std::uint32_t set = 0;
};

constexpr std::array<RunningAfter, 256> make_after() {
  std::array<RunningAfter, 256> after{};
  for (unsigned byte = 0x80; byte < 0x100; ++byte) {
    const auto status = static_cast<std::uint8_t>(byte);
    if ((rows[byte].flags & is_transparent) == 0) after[byte].kept = 0;
    if (is_channel_status(status)) after[byte].set = status;
  }
  return after;
}

constexpr std::array<RunningAfter, 256> after = make_after();

/// More statuses than this in a window are read by masks, fewer one after the other (measured).
constexpr unsigned few_statuses = 8;

/// From here on a window may not show enough of what is not easy (ours).
constexpr std::size_t late_in_window = 56;

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
    const WindowMessages messages = window_messages(masks);
    std::uint64_t whole = 0;
    std::size_t at = 0;
    while (true) {
      const Segment segment = next_segment(masks, messages, at, rows[running_].wanted);
      at = static_cast<std::size_t>(std::countr_zero(segment.firsts));
      bool easy = true;
      for (auto left = segment.firsts & (segment.firsts - 1); left != 0; left &= left - 1) {
        const auto next = static_cast<std::size_t>(std::countr_zero(left));
        if ((segment.apart >> at & 1U) == 0) {
          read_message(at, next);
        } else if (!read_apart(at, next)) {
          easy = false;
          break;
        }
        at = next;
      }
      whole |= segment.whole & ((std::uint64_t{1} << at) - 1);
      if (easy && segment.resumed != 0) continue;
      if (easy && segment.torn == 0) break;
      // The next window, which begins here, has more of it.
      if (at >= late_in_window) break;
      at = easy ? read_torn(at, masks.data) : read_odd(at);
      if (at >= window_bytes - 3) break;
    }
    messages_ += bits_set(whole & ~masks.no_message);
    running_messages_ += bits_set(whole & masks.data);
    at_ = before_ + at;
  }

  /// The message that begins at `first`, or what came of it before `next`.
  [[gnu::always_inline]] void read_message(std::size_t first, std::size_t next) {
    const std::size_t byte = window_[first];
    const std::size_t own = byte >> 7U;  // has it a status byte?
    const std::uint8_t* const data = window_ + first + own;
    const auto room = std::min(static_cast<std::size_t>(window_ + next - data), most_data);
    const EventForm& form = forms[own != 0 ? byte : without_status(running_)][room];
    const std::uint32_t word = form.word | (four_bytes(data - 1) & form.data_mask);
    out_->word = word + window_word_ + (std::uint64_t{first} << 25U);
    out_->t_ns = static_cast<std::int64_t>(window_ns_ + step_ns_ * first);
    ++out_;
    // A branch that is easy to foresee: most senders repeat the status always or never.
    if (byte == running_) could_run_ += room >= rows[byte].wanted ? 1 : 0;
    // Not by the message's status, which hangs on running status itself: each message would wait
    // for the one before.
    running_ = (running_ & after[byte].kept) | after[byte].set;
  }

  /// A message with a real-time byte inside; `data` are the data bytes from `first` on. Returns
  /// where it ends. Whether it is whole nobody can foresee, so no branch asks.
  [[gnu::always_inline]] std::size_t read_torn(const std::size_t first, std::uint64_t data) {
    const auto inside =
        static_cast<std::size_t>(std::countr_zero(~data & (~std::uint64_t{1} << first)));
    if (inside + most_data + 1 >= window_bytes) return read_odd(first);
    const std::size_t own = window_[first] >> 7U;
    const std::uint8_t status = own != 0 ? window_[first] : static_cast<std::uint8_t>(running_);
    const std::size_t wanted = rows[status].wanted;
    const std::size_t before = inside - first - own;  // data bytes, 0 or 1
    const std::size_t behind =
        std::min(wanted - before, static_cast<std::size_t>(std::countr_one(data >> (inside + 1))));
    const std::size_t came = before + behind;
    const std::size_t end = inside + 1 + behind;
    const bool another = (came != wanted) & transparent(window_[end]);
    if (another) return read_odd(first);

    const std::uint8_t byte = window_[inside];
    give(inside, forms[byte][0].word);
    const EventForm& form = forms[own != 0 ? status : without_status(status)][came];
    const std::uint32_t both = std::uint32_t{window_[inside + 1 - 2 * before]} << 8U |
                               std::uint32_t{window_[inside + 2 - before]} << 16U;
    give(first, form.word | (both & form.data_mask));
    const std::uint64_t whole = came == wanted ? 1 : 0;
    messages_ += whole + (rows[byte].flags & is_a_message);
    running_messages_ += whole & (own ^ 1U);
    could_run_ += whole & (window_[first] == running_ ? 1U : 0U);
    running_ = (running_ & after[window_[first]].kept) | after[window_[first]].set;
    return end;
  }

  /// A short run without status or an open SysEx, up to the status at `next`. False: it is not
  /// over there.
  [[gnu::always_inline]] bool read_apart(std::size_t first, std::size_t next) {
    const bool sysex = window_[first] == sysex_start;
    const std::uint8_t ending = window_[next];
    const bool over = sysex ? ending != sysex_end && !transparent(ending)
                            : !is_real_time(ending) && next - first < text_bytes;
    if (!is_status(ending) || !over) return false;
    give(first, raw(sysex ? Code::sysex_open : Code::stray));
    *out_ = {static_cast<std::int64_t>(next - first),
             raw(Code::count) | (window_word_ + (std::uint64_t{first} << 25U))};
    ++out_;
    if (sysex) parser_.sysex_whole_ = false;
    running_ = 0;
    return true;
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
          read_message(status, next);
          messages_ += whole ? row.flags & is_a_message : 0;
          at = status + 1 + std::min<std::size_t>(next - status - 1, row.wanted);
          statuses = rest;
          continue;
        }
      }
      // Not easy is data without status, F0, or a message with real-time bytes inside.
      const bool torn = window_[at] != sysex_start && (running_ != 0 || is_status(window_[at]));
      at = torn ? read_torn(at, ~statuses) : read_odd(at);
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
    give(at, forms[without_status(running_)][1].word);
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

}  // namespace strumwright::midi
