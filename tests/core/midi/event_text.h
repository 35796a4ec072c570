// tests/core/midi/event_text.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <span>
#include <string>
#include <vector>

#include "core/midi/byte_parser.h"
#include "core/midi/event.h"
#include "core/midi/status.h"

/// How the tests write events: "90 3C 40 @0" with the first byte's index after @, "(90) 3C 00 @3"
/// under running status, "sysex 4 @0", "cut 90+1 @0" for one data byte of 90, "cut (90)+1 @3",
/// "open 3 @0" for an unfinished SysEx, "undefined F4 @0", "eox @0", "stray 2 @0", "joined",
/// "text".
namespace strumwright::midi {

inline std::vector<std::uint8_t> bytes_of(const std::string& hex) {
  std::vector<std::uint8_t> bytes;
  const char* at = hex.c_str();
  unsigned byte = 0;
  for (int used = 0; std::sscanf(at, "%2x%n", &byte, &used) == 1; at += used) {
    bytes.push_back(static_cast<std::uint8_t>(byte));
  }
  return bytes;
}

inline std::string hex_text(std::uint8_t byte) {
  char hex[3];
  std::snprintf(hex, sizeof hex, "%02X", unsigned{byte});
  return hex;
}

inline std::string status_text(std::uint8_t status, bool running) {
  return running ? "(" + hex_text(status) + ")" : hex_text(status);
}

inline std::string message_text(const Event& event) {
  std::string text = status_text(event.code(), event.running());
  if (data_bytes(event.code()) > 0) text += " " + hex_text(event.data1());
  if (data_bytes(event.code()) > 1) text += " " + hex_text(event.data2());
  return text;
}

inline std::string anomaly_text(const Event& event) {
  switch (static_cast<Code>(event.code())) {
    case Code::stray:
      return "stray";
    case Code::joined:
      return "joined";
    case Code::text:
      return "text";
    case Code::cut_short:
      return "cut " + status_text(event.data1(), event.running()) + "+" +
             std::to_string(event.data2());
    case Code::undefined:
      return "undefined " + hex_text(event.data1());
    case Code::sysex_open:
      return "open";
    case Code::eox_alone:
      return "eox";
    case Code::count:
      break;
  }
  return "count without owner";
}

inline std::string text_of(std::span<const Event> events) {
  std::string text;
  for (std::size_t i = 0; i < events.size(); ++i) {
    const Event& event = events[i];
    if (i > 0) text += "; ";
    if (event.code() == sysex_start) {
      text += "sysex";
    } else {
      text += event.is_message() ? message_text(event) : anomaly_text(event);
    }
    if (i + 1 < events.size() && events[i + 1].is(Code::count)) {
      text += " " + std::to_string(events[++i].count());
    }
    text += " @" + std::to_string(event.byte());
  }
  return text;
}

/// Feeds a parser and keeps what it says.
struct Listener {
  ByteParser parser;
  std::vector<Event> events;
  std::vector<Event> room;

  void push(std::span<const std::uint8_t> bytes, std::int64_t first_ns) {
    room.resize(ByteParser::most_events(bytes.size()));
    keep(parser.push(bytes, first_ns, byte_ns, room.data()));
  }
  void push_one(std::uint8_t byte, std::int64_t t_ns) {
    room.resize(ByteParser::most_events(1));
    keep(parser.push(byte, t_ns, room.data()));
  }
  void lose() {
    room.resize(ByteParser::most_events(0));
    keep(parser.lose(room.data()));
  }
  void finish() {
    room.resize(ByteParser::most_events(0));
    keep(parser.finish(room.data()));
  }

 private:
  void keep(std::size_t count) { events.insert(events.end(), room.begin(), room.begin() + count); }
};

}  // namespace strumwright::midi
