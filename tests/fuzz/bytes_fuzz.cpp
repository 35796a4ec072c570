// tests/fuzz/bytes_fuzz.cpp
// Any bytes in any split, with losses between: the same events as byte by byte, none beyond the
// room that was promised, each within the bytes that came.
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <span>
#include <vector>

#include "core/midi/byte_parser.h"
#include "core/midi/status.h"

namespace {

using namespace strumwright::midi;

struct Ear {
  ByteParser parser;
  std::vector<Event> events;
  std::vector<Event> room;

  void push(std::span<const std::uint8_t> bytes, std::int64_t first_ns) {
    room.assign(ByteParser::most_events(bytes.size()), Event{});
    keep(parser.push(bytes, first_ns, byte_ns, room.data()));
  }
  void push_one(std::uint8_t byte, std::int64_t t_ns) {
    room.assign(ByteParser::most_events(1), Event{});
    keep(parser.push(byte, t_ns, room.data()));
  }
  void stop(std::size_t (ByteParser::*how)(Event*)) {
    room.assign(ByteParser::most_events(0), Event{});
    keep((parser.*how)(room.data()));
  }
  void keep(std::size_t count) {
    if (count > room.size()) std::abort();
    events.insert(events.end(), room.begin(), room.begin() + static_cast<std::ptrdiff_t>(count));
  }
};

bool alike(const Ear& one, const Ear& other) {
  const auto& a = one.parser.counts();
  const auto& b = other.parser.counts();
  return one.events == other.events && a.bytes == b.bytes && a.messages == b.messages &&
         a.running_used == b.running_used && a.running_possible == b.running_possible &&
         one.parser.running_status() == other.parser.running_status() &&
         one.parser.open_since_ns() == other.parser.open_since_ns() &&
         std::ranges::equal(one.parser.sysex(), other.parser.sysex());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  std::span<const std::uint8_t> input(data, size);
  Ear by_byte;
  Ear by_piece;
  std::int64_t t_ns = 0;
  while (!input.empty()) {
    // One byte says how long the next piece is, and in one of 16 cases that input was lost before.
    const std::uint8_t plan = input[0];
    input = input.subspan(1);
    if (plan % 16 == 15) {
      by_byte.stop(&ByteParser::lose);
      by_piece.stop(&ByteParser::lose);
    }
    const auto piece = input.first(std::min<std::size_t>(input.size(), plan * 4U));
    by_piece.push(piece, t_ns);
    for (const std::uint8_t byte : piece) {
      by_byte.push_one(byte, t_ns);
      t_ns += byte_ns;
    }
    if (!alike(by_byte, by_piece)) std::abort();
    input = input.subspan(piece.size());
  }
  by_byte.stop(&ByteParser::finish);
  by_piece.stop(&ByteParser::finish);
  if (!alike(by_byte, by_piece)) std::abort();
  for (const Event& event : by_byte.events) {
    if (event.byte() >= by_byte.parser.counts().bytes) std::abort();
  }
  return 0;
}
