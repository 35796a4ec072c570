// tests/reference/midi_mido_reference.cpp
// Messages against mido's parser (Debian's python3-mido, run by /usr/bin/python3), on streams where
// it follows the standard: every message with its status byte and no real-time byte inside, for it
// knows no running status and lets real-time end a message.
#include <cstdint>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <random>
#include <string>
#include <vector>

#include "tests/core/midi/event_text.h"
#include <sys/wait.h>

#include "core/midi/byte_parser.h"
#include "core/midi/status.h"
#include "core/midi/stream_writer.h"

namespace {

using namespace strumwright::midi;
using Bytes = std::vector<std::uint8_t>;

constexpr int skipped = 77;

/// Whole messages of every kind, real-time between them, SysEx, and what both must pass over: cut
/// messages and data that no status goes before. F4 and F5 are left out, which mido takes for
/// nothing where they end a message.
Bytes stream() {
  constexpr std::uint8_t statuses[] = {0x80, 0x91, 0xA2, 0xB3, 0xC4, 0xD5, 0xEF, 0xF1, 0xF2,
                                       0xF3, 0xF6, 0xF8, 0xFA, 0xFB, 0xFC, 0xFE, 0xFF, 0xF0};
  std::mt19937 random(11);
  StreamWriter writer(false);
  Bytes bytes;
  const auto data = [&] { return static_cast<std::uint8_t>(random() % 128); };
  for (int i = 0; i < 20'000; ++i) {
    const std::uint8_t status = statuses[random() % std::size(statuses)];
    if (status == sysex_start) {
      bytes.push_back(status);
      for (unsigned length = random() % 40; length > 0; --length) bytes.push_back(data());
      bytes.push_back(sysex_end);
    } else {
      writer.append(status, data(), data(), bytes);
    }
    if (random() % 16 == 0) bytes.insert(bytes.end(), {0x95, data(), 0xC1, data()});
    if (random() % 16 == 0) bytes.insert(bytes.end(), {sysex_start, data(), 0xF6, data()});
  }
  return bytes;
}

std::string our_lines(const Bytes& bytes) {
  ByteParser parser;
  std::vector<Event> room(ByteParser::most_events(1));
  std::string lines;
  for (const std::uint8_t byte : bytes) {
    const std::size_t count = parser.push(byte, 0, room.data());
    for (std::size_t i = 0; i < count; ++i) {
      if (!room[i].is_message()) continue;
      if (room[i].code() != sysex_start) {
        lines += message_text(room[i]) + "\n";
        continue;
      }
      std::string line;
      for (const std::uint8_t kept : parser.sysex()) line += " " + hex_text(kept);
      lines += line.substr(1) + "\n";
    }
  }
  return lines;
}

struct Run {
  int exit = -1;
  std::string output;
};

Run run(const std::string& command) {
  Run result;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return result;
  char piece[4096];
  while (const std::size_t size = std::fread(piece, 1, sizeof piece, pipe)) {
    result.output.append(piece, size);
  }
  const int status = pclose(pipe);
  if (WIFEXITED(status)) result.exit = WEXITSTATUS(status);
  return result;
}

int compare(const std::string& ours, const std::string& theirs) {
  std::size_t line = 1;
  for (std::size_t i = 0; i < ours.size() && i < theirs.size(); ++i) {
    if (ours[i] != theirs[i]) {
      std::cerr << "message " << line << " differs: ours " << ours.substr(i, 40) << "\nmido's "
                << theirs.substr(i, 40) << '\n';
      return 1;
    }
    if (ours[i] == '\n') ++line;
  }
  if (ours.size() != theirs.size() || line < 20'000) {
    std::cerr << "one ends early, after " << line << " messages\n";
    return 1;
  }
  std::cout << line - 1 << " messages alike\n";
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "usage: reference_midi_mido SCRIPT FILE\n";
    return 2;
  }
  const Bytes bytes = stream();
  std::ofstream(argv[2], std::ios::binary)
      .write(reinterpret_cast<const char*>(bytes.data()),
             static_cast<std::streamsize>(bytes.size()));
  const Run mido = run("/usr/bin/python3 '" + std::string(argv[1]) + "' '" + argv[2] + "'");
  if (mido.exit == skipped || mido.exit == 127) {
    std::cout << "SKIPPED: python3-mido is not installed: " << mido.output << '\n';
    return skipped;
  }
  if (mido.exit != 0) {
    std::cerr << "mido ended with " << mido.exit << '\n';
    return 1;
  }
  return compare(our_lines(bytes), mido.output);
}
