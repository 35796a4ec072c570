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
  friend NoteMask operator&(NoteMask a, NoteMask b) {
    return {{a.bits[0] & b.bits[0], a.bits[1] & b.bits[1]}};
  }
  friend bool operator==(const NoteMask&, const NoteMask&) = default;
};

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

  /// Ends every note and lifts the pedal: sensing lost, FF or the port gone.
  void end_all(std::int64_t t_ns, Ending how, std::vector<NoteFact>& facts);

  /// Notes that are down, by channel, then number.
  [[nodiscard]] std::vector<HeldNote> held() const;
  /// Released notes that the pedal keeps, by channel, then number.
  [[nodiscard]] std::vector<HeldNote> pedal() const;
  /// Numbers down on any channel but 10 (which has no pitches).
  [[nodiscard]] NoteMask down_pitches() const { return pitches_; }
  [[nodiscard]] bool is_down(NoteKey key) const {
    return channels_[key.channel.index].down.has(key.number);
  }

  [[nodiscard]] std::uint64_t starts() const { return starts_; }
  [[nodiscard]] std::uint64_t releases() const { return releases_; }
  [[nodiscard]] std::uint64_t zero_velocity_releases() const { return zero_releases_; }

 private:
  static constexpr std::uint8_t channel_count = 16;
  struct ChannelState {
    NoteMask down;
    NoteMask pedal;
    bool pedal_pressed = false;
    std::array<std::int64_t, 128> since_ns{};  ///< newest start, of notes in `down` or `pedal`
    std::array<std::uint8_t, 128> velocity{};
  };

  void start(const midi::Event& message, NoteKey key, std::vector<NoteFact>& facts);
  void release(const midi::Event& message, NoteKey key, std::vector<NoteFact>& facts);
  void control(const midi::Event& message, midi::Channel channel, std::vector<NoteFact>& facts);
  void end_channel(const NoteFact& as, std::vector<NoteFact>& facts);
  void take_down(NoteKey key);
  [[nodiscard]] std::vector<HeldNote> notes_in(NoteMask ChannelState::*set) const;

  std::array<ChannelState, channel_count> channels_;
  std::array<std::uint8_t, 128> pitch_owners_{};  ///< channels but 10 on which a number is down
  NoteMask pitches_;
  std::uint64_t starts_ = 0;
  std::uint64_t releases_ = 0;
  std::uint64_t zero_releases_ = 0;
};

}  // namespace strumwright::notes
