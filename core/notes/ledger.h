// core/notes/ledger.h
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <vector>

#include "core/midi/event.h"
#include "core/notes/note_fact.h"

namespace strumwright::notes {

/// Set of note numbers.
struct NoteMask {
  std::array<std::uint64_t, 2> bits{};
  [[nodiscard]] bool has(std::uint8_t note) const {
    return (bits[note >> 6U] >> (note & 63U) & 1U) != 0;
  }
  void add(std::uint8_t note) { bits[note >> 6U] |= std::uint64_t{1} << (note & 63U); }
  void remove(std::uint8_t note) { bits[note >> 6U] &= ~(std::uint64_t{1} << (note & 63U)); }
  [[nodiscard]] bool empty() const { return (bits[0] | bits[1]) == 0; }
  /// Calls `visit(number)` for each note, ascending.
  template <class Visit>
  void for_each(Visit visit) const {
    for (unsigned word = 0; word < 2; ++word) {
      for (std::uint64_t left = bits[word]; left != 0; left &= left - 1) {
        visit(static_cast<std::uint8_t>(64 * word + static_cast<unsigned>(std::countr_zero(left))));
      }
    }
  }
  friend NoteMask operator|(NoteMask a, NoteMask b) {
    return {{a.bits[0] | b.bits[0], a.bits[1] | b.bits[1]}};
  }
  friend NoteMask operator&(NoteMask a, NoteMask b) {
    return {{a.bits[0] & b.bits[0], a.bits[1] & b.bits[1]}};
  }
  friend bool operator==(const NoteMask&, const NoteMask&) = default;
};

/// The note that a channel message names, if it names one.
constexpr NoteKey key_of(midi::Event message) {
  return {{static_cast<std::uint8_t>(message.code() & 0x0FU)}, message.data1()};
}
/// A Note On with velocity 1 to 127.
constexpr bool is_start(midi::Event message) {
  return (message.code() & 0xF0U) == midi::note_on && message.data2() != 0;
}

/// The account of every note of one source: started, down, kept by the pedal, released.
///
/// One release ends a note, however many starts it had. Judges nothing (`diagnosis::NoteJudge`
/// does). A copyable value; allocates only in `facts`, which the caller keeps and clears.
/// Thread: its owner's only.
class Ledger {
 public:
  /// Takes a message (any; those that are no channel message change nothing) and appends what
  /// came of it to `facts`.
  void push(const midi::Event& message, std::vector<NoteFact>& facts);

  /// The same for a start and for any other note message (8n, 9n); of each always one fact comes.
  /// Inline, because nearly all messages are these.
  [[nodiscard]] NoteFact start(midi::Event message);
  [[nodiscard]] NoteFact release(midi::Event message);

  /// Ends every note and lifts the pedal: sensing lost, FF or the port gone.
  void end_all(std::int64_t t_ns, Ending how, std::vector<NoteFact>& facts);

  /// Notes that are down, by channel, then number.
  [[nodiscard]] std::vector<HeldNote> held() const;
  /// Released notes that the pedal keeps, by channel, then number.
  [[nodiscard]] std::vector<HeldNote> pedal() const;
  /// Numbers down on any channel but 10 (which has no pitches).
  [[nodiscard]] NoteMask down_pitches() const;
  [[nodiscard]] bool is_down(NoteKey key) const { return down_[key.channel.index].has(key.number); }

  [[nodiscard]] std::uint64_t starts() const { return starts_; }
  [[nodiscard]] std::uint64_t releases() const { return releases_; }
  [[nodiscard]] std::uint64_t zero_velocity_releases() const { return zero_releases_; }

 private:
  static constexpr std::uint8_t channel_count = 16;
  struct ChannelState {
    NoteMask pedal;
    bool pedal_pressed = false;
    std::array<std::int64_t, 128> since_ns{};  ///< newest start, of notes in `down_` or `pedal`
    std::array<std::uint8_t, 128> velocity{};
  };

  void control(const midi::Event& message, midi::Channel channel, std::vector<NoteFact>& facts);
  void end_channel(const NoteFact& as, std::vector<NoteFact>& facts);
  void append(std::uint8_t channel_index, const NoteMask& set, std::vector<HeldNote>& found) const;

  std::array<ChannelState, channel_count> channels_;
  std::array<NoteMask, channel_count> down_;  ///< by channel, side by side for `down_pitches`
  std::uint64_t starts_ = 0;
  std::uint64_t releases_ = 0;
  std::uint64_t zero_releases_ = 0;
};

inline NoteFact Ledger::start(midi::Event message) {
  const NoteKey key = key_of(message);
  auto& channel = channels_[key.channel.index];
  auto& down = down_[key.channel.index];
  const bool again = down.has(key.number);
  ++starts_;
  if (!again) {
    down.add(key.number);
    channel.pedal.remove(key.number);
  }
  channel.since_ns[key.number] = message.t_ns;
  channel.velocity[key.number] = message.data2();
  return {.what = NoteFact::What::start,
          .key = key,
          .velocity = message.data2(),
          .again = again,
          .t_ns = message.t_ns,
          .byte = message.byte()};
}

inline NoteFact Ledger::release(midi::Event message) {
  const NoteKey key = key_of(message);
  auto& channel = channels_[key.channel.index];
  auto& down = down_[key.channel.index];
  const bool by_zero = (message.code() & 0xF0U) == midi::note_on;
  const bool was_down = down.has(key.number);
  ++releases_;
  zero_releases_ += by_zero ? 1 : 0;
  NoteFact fact{.what = was_down ? NoteFact::What::end : NoteFact::What::orphan,
                .how = by_zero ? Ending::velocity_zero : Ending::note_off,
                .key = key,
                .velocity = message.data2(),
                .t_ns = message.t_ns,
                .byte = message.byte()};
  if (was_down) {
    fact.to_pedal = channel.pedal_pressed;
    fact.start_ns = channel.since_ns[key.number];
    down.remove(key.number);
    if (fact.to_pedal) channel.pedal.add(key.number);
  }
  return fact;
}

}  // namespace strumwright::notes
