// tests/reference/midi_vectors_reference.cpp
// 32 byte streams, each with the clause that decides it.
// M1: MIDI 1.0 Detailed Specification 4.2 (MMA).: its appendix on running status.
#include <cstdint>
#include <string>

#include "tests/core/midi/event_text.h"
#include <doctest/doctest.h>

using namespace strumwright::midi;

namespace {

struct Vector {
  const char* id;
  const char* clause;
  const char* bytes;
  const char* events;
};

constexpr const char* running = "M1 p. 5: running status for 8n to En";
constexpr const char* cleared = "M1 A-2 rule 3: F0 to F7 clear running status";
constexpr const char* real_time = "M1: real-time between any two bytes, delivered at once";
constexpr const char* transparent = "M1: undefined real-time is ignored, running status stays";
constexpr const char* stray = "M1 A-2 rule 5: data without running status are ignored";
constexpr const char* ends_sysex = "M1: F7 or any status but real-time ends a SysEx";
constexpr const char* dropped = "M1 A-2: a new status before the data came drops the message";

constexpr Vector vectors[] = {
    {"V01", "M1 table II", "90 3C 40 80 3C 40", "90 3C 40 @0; 80 3C 40 @3"},
    {"V02", running, "90 3C 40 3C 00", "90 3C 40 @0; (90) 3C 00 @3"},
    {"V03", running, "90 3C 40 40 40 43 40", "90 3C 40 @0; (90) 40 40 @3; (90) 43 40 @5"},
    {"V04", real_time, "90 3C F8 40", "F8 @2; 90 3C 40 @0"},
    {"V05", real_time, "90 F8 3C FE 40 3E 40", "F8 @1; FE @3; 90 3C 40 @0; (90) 3E 40 @5"},
    {"V06", stray, "3C 40 90 3C 40", "joined 2 @0; 90 3C 40 @2"},
    {"V07", "M1 table VII", "F0 7D 01 02 F7 90 3C 40", "sysex 5 @0; 90 3C 40 @5"},
    {"V08", real_time, "F0 7D 01 F8 02 F7", "F8 @3; sysex 5 @0"},
    {"V09", ends_sysex, "F0 7D 01 02 90 3C 40", "open 4 @0; 90 3C 40 @4"},
    {"V10", cleared, "90 3C 40 F0 7D 01 F7 3E 40", "90 3C 40 @0; sysex 4 @3; stray 2 @7"},
    {"V11", cleared, "90 3C 40 F6 3E 40", "90 3C 40 @0; F6 @3; stray 2 @4"},
    {"V12", cleared, "90 3C 40 F1 23 3E 40", "90 3C 40 @0; F1 23 @3; stray 2 @5"},
    {"V13", cleared, "90 3C 40 F4 3E 40 90 40 40",
     "90 3C 40 @0; undefined F4 @3; stray 2 @4; 90 40 40 @6"},
    {"V14", transparent, "90 3C 40 F9 3E 40", "90 3C 40 @0; undefined F9 @3; (90) 3E 40 @4"},
    {"V15", transparent, "90 3C F9 40", "undefined F9 @2; 90 3C 40 @0"},
    {"V16", transparent, "90 3C FD 40", "undefined FD @2; 90 3C 40 @0"},
    {"V17", dropped, "90 3C 80 3C 40", "cut 90+1 @0; 80 3C 40 @2"},
    {"V18", running, "C0 05 06 07", "C0 05 @0; (C0) 06 @2; (C0) 07 @3"},
    {"V19", cleared, "F2 10 20 30 40", "F2 10 20 @0; stray 2 @3"},
    {"V20", cleared, "F3 05 06", "F3 05 @0; stray 1 @2"},
    {"V21", "M1: EOX ends a SysEx only", "F7 90 3C 40", "eox @0; 90 3C 40 @1"},
    {"V22", ends_sysex, "F0 7D 01 F4 02 F7", "open 3 @0; undefined F4 @3; stray 1 @4; eox @5"},
    {"V23", "M1: channel mode messages", "B0 7B 00 B0 78 00", "B0 7B 00 @0; B0 78 00 @3"},
    {"V24", "M1: pitch bend, least significant first", "E0 00 40 7F 7F",
     "E0 00 40 @0; (E0) 7F 7F @3"},
    {"V25", "M1 System Reset: if obeyed, it clears running status", "90 3C 40 FF 3E 40",
     "90 3C 40 @0; FF @3; stray 2 @4"},
    {"V26", dropped, "90 3C", "cut 90+1 @0"},
    {"V27", ends_sysex, "F0 01 F0 02 F7", "open 2 @0; sysex 3 @2"},
    {"V28", running, "D3 40 41", "D3 40 @0; (D3) 41 @2"},
    {"V29", stray, "F5 10 20 90 3C 40", "undefined F5 @0; stray 2 @1; 90 3C 40 @3"},
    {"V30", running, "90 3C 40 91 3C 40 40 40", "90 3C 40 @0; 91 3C 40 @3; (91) 40 40 @6"},
    {"V31", cleared, "90 3C 40 F0 01 F7 F8 3E 40", "90 3C 40 @0; sysex 3 @3; F8 @6; stray 2 @7"},
    {"V32", "M1 table VII: no manufacturer", "F0 F7", "sysex 2 @0"},
};

}  // namespace

TEST_CASE("each of 32 byte vectors comes out as its clause says") {
  static_assert(std::size(vectors) == 32);
  for (const auto& vector : vectors) {
    INFO(vector.id << ", " << vector.clause << ": " << vector.bytes);
    Listener listener;
    listener.push(bytes_of(vector.bytes), 0);
    listener.finish();
    CHECK(text_of(listener.events) == vector.events);
  }
}
