// core/harmony/chord_name.cpp
#include "core/harmony/chord_name.h"

#include <algorithm>
#include <bit>
#include <cstddef>
#include <vector>

#include "core/harmony/chord_kind.h"

namespace strumwright::harmony {
namespace {

constexpr std::size_t mask_count = 4096;
constexpr std::uint16_t perfect_fifth = 1U << 7U;

constexpr std::uint16_t bit_of(std::uint8_t pitch_class) {
  return static_cast<std::uint16_t>(1U << pitch_class);
}

constexpr std::uint16_t transpose(std::uint16_t tones, std::uint8_t root) {
  return static_cast<std::uint16_t>((tones << root | tones >> (12U - root)) & 0xFFFU);
}

/// Every name that needs nothing but the set and the bass, found once.
///
/// A cell is an index into `names`, so that the table stays small enough for the cache.
class NameTable {
 public:
  NameTable();

  /// Steps (a) and (b): the set with its own bass.
  [[nodiscard]] const ChordName& whole(std::uint16_t mask, std::uint8_t bass) const {
    return names_[cells_[bass * mask_count + mask]];
  }
  /// An exact set over any bass, its own tone or not.
  [[nodiscard]] const ChordName& exact(std::uint16_t mask, std::uint8_t bass) const {
    const std::uint16_t cell = cells_[bass * mask_count + mask];
    return names_[cell < first_without_fifth_ ? cell : 0];
  }

 private:
  void add_exact(std::uint16_t mask);
  void add_without_fifth(std::uint16_t mask);
  void add(std::uint16_t mask, std::uint8_t bass, std::vector<Reading> readings, bool with_others);

  std::vector<std::uint16_t> cells_;
  std::vector<ChordName> names_;
  std::uint16_t first_without_fifth_ = 0;
};

/// The readings of `mask` by the kinds that `form` turns into a tone set (0: not this kind).
template <class Form>
std::vector<Reading> readings_of(std::uint16_t mask, Form form) {
  std::vector<Reading> readings;
  const auto kinds = chord_kinds();
  for (std::size_t kind = 0; kind < kinds.size(); ++kind) {
    const std::uint16_t tones = form(kinds[kind].tones);
    for (std::uint8_t root = 0; tones != 0 && root < 12; ++root) {
      if (transpose(tones, root) == mask)
        readings.push_back({root, static_cast<KindIndex>(kind), root});
    }
  }
  return readings;
}

std::uint16_t without_fifth(std::uint16_t tones) {
  const bool drops = std::popcount(tones) >= 4 && (tones & perfect_fifth) != 0;
  return drops ? static_cast<std::uint16_t>(tones & ~perfect_fifth) : std::uint16_t{0};
}

NameTable::NameTable() : cells_(12 * mask_count), names_(1) {
  for (std::uint16_t mask = 1; mask < mask_count; ++mask) add_exact(mask);
  first_without_fifth_ = static_cast<std::uint16_t>(names_.size());
  for (std::uint16_t mask = 1; mask < mask_count; ++mask) add_without_fifth(mask);
}

void NameTable::add_exact(std::uint16_t mask) {
  const auto readings = readings_of(mask, [](std::uint16_t tones) { return tones; });
  for (std::uint8_t bass = 0; !readings.empty() && bass < 12; ++bass) {
    add(mask, bass, readings, true);
  }
}

void NameTable::add_without_fifth(std::uint16_t mask) {
  const auto readings = readings_of(mask, without_fifth);
  for (std::uint8_t bass = 0; !readings.empty() && bass < 12; ++bass) {
    const bool own = (mask & bit_of(bass)) != 0;
    if (own && cells_[bass * mask_count + mask] == 0) add(mask, bass, readings, false);
  }
}

void NameTable::add(std::uint16_t mask, std::uint8_t bass, std::vector<Reading> readings,
                    bool with_others) {
  // The readings come by rank, then root; only the one rooted on the bass goes before its rank.
  std::stable_partition(readings.begin(), readings.end(),
                        [bass](Reading reading) { return reading.root == bass; });
  for (auto& reading : readings) reading.bass = bass;
  ChordName name;
  name.named = true;
  name.best = readings.front();
  if (with_others) {
    name.other_count = static_cast<std::uint8_t>(readings.size() - 1);
    std::copy(readings.begin() + 1, readings.end(), name.others.begin());
  }
  cells_[bass * mask_count + mask] = static_cast<std::uint16_t>(names_.size());
  names_.push_back(name);
}

const NameTable& name_table() {
  static const NameTable table;
  return table;
}

/// The pitch classes of each note number, as bits; also of 128 to 255, which no caller sends.
constexpr auto note_bits = [] {
  std::array<std::uint16_t, 256> bits{};
  for (std::size_t note = 0; note < bits.size(); ++note) {
    bits[note] = bit_of(static_cast<std::uint8_t>(note % 12));
  }
  return bits;
}();

/// What naming needs to know of the notes.
struct Tally {
  std::uint16_t once = 0;   ///< pitch classes with one onset or more
  std::uint16_t twice = 0;  ///< with two or more
  std::uint8_t lowest = 255;

  void add(std::span<const std::uint8_t> notes) {
    for (const std::uint8_t note : notes) {
      const std::uint16_t bit = note_bits[note];
      twice = static_cast<std::uint16_t>(twice | (once & bit));
      once = static_cast<std::uint16_t>(once | bit);
      lowest = std::min(lowest, note);
    }
  }
};

/// Whether all notes of the lowest one's pitch class are that note.
bool only_as_lowest(std::span<const std::uint8_t> notes, std::uint8_t lowest) {
  return std::all_of(notes.begin(), notes.end(), [lowest](std::uint8_t note) {
    return note == lowest || note_bits[note] != note_bits[lowest];
  });
}

std::optional<std::uint8_t> note_of_class(std::span<const std::uint8_t> notes, std::uint16_t bit) {
  const auto found = std::find_if(notes.begin(), notes.end(),
                                  [bit](std::uint8_t note) { return note_bits[note] == bit; });
  return found == notes.end() ? std::nullopt : std::optional(*found);
}

/// Steps (c) to (e).
ChordName name_partly(const NameTable& table, const Tally& tally,
                      std::span<const std::uint8_t> notes, std::span<const std::uint8_t> more) {
  const std::uint16_t bass_bit = note_bits[tally.lowest];
  const auto bass = static_cast<std::uint8_t>(tally.lowest % 12);
  if (only_as_lowest(notes, tally.lowest) && only_as_lowest(more, tally.lowest)) {
    const auto& over_bass = table.exact(tally.once & static_cast<std::uint16_t>(~bass_bit), bass);
    if (over_bass.named) return over_bass;
  }
  const auto single = static_cast<std::uint16_t>(tally.once & ~tally.twice);
  if (std::popcount(single) != 1) return {};
  ChordName name = table.exact(tally.twice, bass);
  if (name.named) {
    name.foreign_note = note_of_class(notes, single);
    if (!name.foreign_note) name.foreign_note = note_of_class(more, single);
  }
  return name;
}

}  // namespace

ChordName name_chord(std::span<const std::uint8_t> notes) { return name_chord(notes, {}); }

ChordName name_chord(std::span<const std::uint8_t> notes, std::span<const std::uint8_t> more) {
  Tally tally;
  tally.add(notes);
  tally.add(more);
  if (tally.once == 0) return {};
  const auto& table = name_table();
  const auto& whole = table.whole(tally.once, static_cast<std::uint8_t>(tally.lowest % 12));
  return whole.named ? whole : name_partly(table, tally, notes, more);
}

std::uint16_t tones_of(Reading reading) {
  return transpose(chord_kinds()[reading.kind].tones, reading.root) | bit_of(reading.bass);
}

std::uint16_t pitch_classes_of(std::span<const std::uint8_t> notes) {
  Tally tally;
  tally.add(notes);
  return tally.once;
}

}  // namespace strumwright::harmony
