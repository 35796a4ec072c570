// tests/reference/midi_asound_reference.cpp
// Messages of random and hostile streams against libasound's parser (snd_midi_event, alsa-lib).
// They may differ where a clause says so, and nowhere else.
#include <cstdint>
#include <map>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include "tests/core/midi/event_text.h"
#include <alsa/asoundlib.h>
#include <doctest/doctest.h>

#include "core/midi/byte_parser.h"
#include "core/midi/status.h"

using namespace strumwright::midi;

namespace {

using Bytes = std::vector<std::uint8_t>;
/// Messages by the index of the byte that completed them; a SysEx with all its bytes.
using Messages = std::map<std::size_t, Bytes>;

Bytes sized(std::initializer_list<unsigned> values) {
  Bytes bytes;
  for (const unsigned value : values) bytes.push_back(static_cast<std::uint8_t>(value));
  return bytes;
}

/// The message that libasound's event stands for; empty if we know of none.
Bytes bytes_of_event(const snd_seq_event_t& event) {
  const auto& note = event.data.note;
  const auto& control = event.data.control;
  const auto value = static_cast<unsigned>(control.value);
  const unsigned bend = static_cast<unsigned>(control.value + 8192);
  switch (event.type) {
    case SND_SEQ_EVENT_NOTEOFF:
      return sized({0x80U + note.channel, note.note, note.velocity});
    case SND_SEQ_EVENT_NOTEON:
      return sized({0x90U + note.channel, note.note, note.velocity});
    case SND_SEQ_EVENT_KEYPRESS:
      return sized({0xA0U + note.channel, note.note, note.velocity});
    case SND_SEQ_EVENT_CONTROLLER:
      return sized({0xB0U + control.channel, control.param, value});
    case SND_SEQ_EVENT_PGMCHANGE:
      return sized({0xC0U + control.channel, value});
    case SND_SEQ_EVENT_CHANPRESS:
      return sized({0xD0U + control.channel, value});
    case SND_SEQ_EVENT_PITCHBEND:
      return sized({0xE0U + control.channel, bend & 0x7FU, bend >> 7U});
    case SND_SEQ_EVENT_QFRAME:
      return sized({0xF1, value});
    case SND_SEQ_EVENT_SONGPOS:
      return sized({0xF2, value & 0x7FU, value >> 7U});
    case SND_SEQ_EVENT_SONGSEL:
      return sized({0xF3, value});
    case SND_SEQ_EVENT_TUNE_REQUEST:
      return sized({0xF6});
    case SND_SEQ_EVENT_CLOCK:
      return sized({0xF8});
    case SND_SEQ_EVENT_START:
      return sized({0xFA});
    case SND_SEQ_EVENT_CONTINUE:
      return sized({0xFB});
    case SND_SEQ_EVENT_STOP:
      return sized({0xFC});
    case SND_SEQ_EVENT_SENSING:
      return sized({0xFE});
    case SND_SEQ_EVENT_RESET:
      return sized({0xFF});
    case SND_SEQ_EVENT_SYSEX: {
      const auto* from = static_cast<const std::uint8_t*>(event.data.ext.ptr);
      return {from, from + event.data.ext.len};
    }
    default:
      return {};
  }
}

Messages heard_by_asound(const Bytes& bytes) {
  snd_midi_event_t* coder = nullptr;
  // Room for the longest SysEx: it hands over a longer one in pieces.
  REQUIRE(snd_midi_event_new(bytes.size() + 1, &coder) == 0);
  Messages messages;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    snd_seq_event_t event{};
    if (snd_midi_event_encode_byte(coder, bytes[i], &event) == 1) {
      messages[i] = bytes_of_event(event);
    }
  }
  snd_midi_event_free(coder);
  return messages;
}

Messages heard_by_us(const Bytes& bytes) {
  ByteParser parser;
  Messages messages;
  std::vector<Event> room(ByteParser::most_events(1));
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const std::size_t count = parser.push(bytes[i], 0, room.data());
    for (std::size_t k = 0; k < count; ++k) {
      const Event& event = room[k];
      if (!event.is_message()) continue;
      Bytes& message = messages[i];
      if (event.code() == sysex_start) {
        message.assign(parser.sysex().begin(), parser.sysex().end());
        continue;
      }
      message = {event.code()};
      if (data_bytes(event.code()) > 0) message.push_back(event.data1());
      if (data_bytes(event.code()) > 1) message.push_back(event.data2());
    }
  }
  return messages;
}

/// Why two parsers may differ at a byte.
enum class Clause {
  none,
  system_reset,   ///< M1 System Reset: obeyed, it clears what is open and running (V25)
  sysex_bounded,  ///< ours: of a SysEx the first 256 bytes are kept
};

struct Difference {
  std::size_t at;
  Bytes ours, theirs;
};

/// libasound lets FF pass like any real-time byte. So between an FF and the next status below F8,
/// which sets both right again, it alone goes on with the message, running status or SysEx (whose
/// F7 may be that status) from before; ours never has a message that it has not.
Clause clause_for(const Difference& difference, const Bytes& bytes) {
  if (!difference.ours.empty() && difference.ours[0] == sysex_start &&
      difference.ours.size() == strumwright::limits::sysex_kept_bytes &&
      std::equal(difference.ours.begin(), difference.ours.end(), difference.theirs.begin())) {
    return Clause::sysex_bounded;
  }
  const std::uint8_t byte = bytes[difference.at];
  if (!difference.ours.empty() || (is_status(byte) && byte != sysex_end)) return Clause::none;
  for (std::size_t i = difference.at; i-- > 0;) {
    if (bytes[i] == system_reset) return Clause::system_reset;
    if (is_status(bytes[i]) && !is_real_time(bytes[i])) break;
  }
  return Clause::none;
}

std::map<Clause, int> compare(const Bytes& bytes) {
  const Messages ours = heard_by_us(bytes);
  const Messages theirs = heard_by_asound(bytes);
  REQUIRE(!theirs.empty());
  std::map<Clause, int> clauses;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const auto our = ours.find(i);
    const auto their = theirs.find(i);
    const Difference difference{i, our == ours.end() ? Bytes{} : our->second,
                                their == theirs.end() ? Bytes{} : their->second};
    if (difference.ours == difference.theirs) continue;
    const Clause clause = clause_for(difference, bytes);
    ++clauses[clause];
    if (clause == Clause::none && clauses[clause] < 10) {
      std::string around;
      for (std::size_t k = i < 12 ? 0 : i - 12; k <= i; ++k) around += hex_text(bytes[k]) + " ";
      std::string both = "ours ";
      for (const auto byte : difference.ours) both += hex_text(byte) + " ";
      both += "theirs ";
      for (const auto byte : difference.theirs) both += hex_text(byte) + " ";
      FAIL_CHECK("no clause explains byte " << i << " after " << around << ": " << both);
    }
  }
  return clauses;
}

Bytes drawn(unsigned seed, std::size_t size, const Bytes& choices) {
  std::mt19937 random(seed);
  Bytes bytes(size);
  for (auto& byte : bytes) {
    byte = choices[random() % choices.size()];
    if (byte == 0) byte = static_cast<std::uint8_t>(random() % 128);  // 0 stands for data
  }
  return bytes;
}

Bytes all_values() {
  Bytes values;
  for (unsigned value = 0; value < 256; ++value) values.push_back(static_cast<std::uint8_t>(value));
  return values;
}

Bytes without_reset(Bytes values) {
  std::erase(values, system_reset);
  return values;
}

/// Statuses of every kind, half of them system, between data.
const Bytes hostile = {0xF0, 0xF0, 0xF7, 0xF7, 0xF8, 0xFF, 0xF4, 0xF5, 0xF9, 0xFD, 0xF1, 0xF2,
                       0xF3, 0xF6, 0xFA, 0xFB, 0xFC, 0xFE, 0x80, 0x91, 0xA2, 0xB3, 0xC4, 0xD5,
                       0xEF, 0,    0,    0,    0,    0,    0,    0,    0,    0,    0,    0};
const Bytes notes = {0x90, 0x80, 0xF8, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0};
const Bytes long_sysex = {0xF0, 0xF7, 0xF8};

}  // namespace

TEST_CASE("without FF every message of random and hostile streams is libasound's") {
  for (unsigned seed = 1; seed <= 8; ++seed) {
    INFO("seed " << seed);
    CHECK(compare(drawn(seed, 1U << 18U, without_reset(all_values()))).empty());
    CHECK(compare(drawn(seed, 1U << 18U, without_reset(hostile))).empty());
    CHECK(compare(drawn(seed, 1U << 18U, notes)).empty());
  }
}

TEST_CASE("with FF the streams differ only where System Reset was obeyed, and there they do") {
  for (unsigned seed = 1; seed <= 8; ++seed) {
    INFO("seed " << seed);
    for (const Bytes& kind : {all_values(), hostile}) {
      const auto clauses = compare(drawn(seed, 1U << 18U, kind));
      CHECK(clauses.size() == 1);
      CHECK(clauses.contains(Clause::system_reset));
    }
  }
}

TEST_CASE("a long SysEx differs only beyond the bytes that we keep") {
  Bytes choices(2000, 0);
  choices.insert(choices.end(), long_sysex.begin(), long_sysex.end());
  const auto clauses = compare(drawn(3, 1U << 18U, choices));
  CHECK(clauses.size() == 1);
  CHECK(clauses.contains(Clause::sysex_bounded));
}
