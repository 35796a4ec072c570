// tests/core/wire/rate_guess_test.cpp
#include "core/wire/rate_guess.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <span>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace strumwright::wire;

namespace {

using Bytes = std::vector<std::uint8_t>;
using Random = std::mt19937;

struct TimedByte {
  double t_us;
  std::uint8_t byte;
};

/// A line as times at which its level changes, built byte by byte in time.
class Wire {
 public:
  explicit Wire(double baud) : bit_us_(1e6 / baud) {}

  void send(double t_us, std::uint8_t byte) {
    double edge_us = t_us;
    set(edge_us, false);
    for (int i = 0; i < 8; ++i) set(edge_us += bit_us_, (byte >> i & 1) != 0);
    set(edge_us += bit_us_, true);
  }
  /// Changes at random, so far apart on average.
  void shake(double mean_us, int changes, Random& random) {
    double t_us = 0;
    for (int i = 0; i < changes; ++i) {
      t_us -= std::log((static_cast<double>(random()) + 0.5) / 4294967296.0) * mean_us;
      changes_.push_back(t_us);
    }
  }
  [[nodiscard]] double byte_us() const { return 10 * bit_us_; }
  [[nodiscard]] bool level(double t_us) const {
    const auto after = std::upper_bound(changes_.begin(), changes_.end(), t_us);
    return (after - changes_.begin()) % 2 == 0;
  }
  /// The next fall after `t_us`; negative if there is none.
  [[nodiscard]] double fall_after(double t_us) const {
    auto change = std::upper_bound(changes_.begin(), changes_.end(), t_us);
    if ((change - changes_.begin()) % 2 != 0) ++change;
    return change < changes_.end() ? *change : -1;
  }

 private:
  void set(double t_us, bool level) {
    const bool now = changes_.size() % 2 == 0;
    if (now != level) changes_.push_back(t_us);
  }
  double bit_us_;
  std::vector<double> changes_;  ///< idle high; then low, high, low ...
};

/// A receiver at 31,250 baud that looks 16 times a bit and takes the majority of three looks.
Bytes receive(const Wire& wire, bool keep_bad, Random& random) {
  const double tick_us = 2.0;
  const auto look = [&](double start_us, int k) {
    int high = 0;
    for (int i = 7; i <= 9; ++i) high += wire.level(start_us + (16 * k + i) * tick_us) ? 1 : 0;
    return high >= 2;
  };
  Bytes bytes;
  double fall_us = wire.fall_after(-1);
  while (fall_us >= 0 && bytes.size() < 600) {
    const double start_us = fall_us + static_cast<double>(random() % 100) / 100 * tick_us;
    if (look(start_us, 0)) {
      fall_us = wire.fall_after(start_us + 9 * tick_us);
      continue;
    }
    int byte = 0;
    for (int k = 0; k < 8; ++k) byte += look(start_us, k + 1) ? 1 << k : 0;
    if (look(start_us, 9) || keep_bad) bytes.push_back(static_cast<std::uint8_t>(byte));
    fall_us = wire.fall_after(start_us + (16 * 9 + 9) * tick_us);
  }
  return bytes;
}

/// What makers' controllers send: note bytes with the pauses between them.
struct Habit {
  bool running = false;
  bool note_off = false;
  int velocity = 0;  ///< 0: it varies
  int channel = 0;
  double gap_us = 0;
};

Habit random_habit(Random& random) {
  const int velocities[] = {0, 1, 64, 90, 100, 127};
  const double gaps_us[] = {0, 0, 500, 3'000, 12'000};
  return {random() % 2 == 0, random() % 2 == 0, velocities[random() % 6],
          static_cast<int>(random() % 3 == 0 ? random() % 16 : 0), gaps_us[random() % 5]};
}

/// Messages of strums, one a vector.
std::vector<Bytes> strums(const Habit& habit, std::size_t bytes, Random& random) {
  std::vector<Bytes> messages;
  std::uint8_t status = 0;
  std::size_t sent = 0;
  const auto add = [&](int kind, int note, int velocity) {
    const auto now = static_cast<std::uint8_t>(kind + habit.channel);
    Bytes message;
    if (!habit.running || now != status) message.push_back(now);
    status = now;
    message.push_back(static_cast<std::uint8_t>(note));
    message.push_back(static_cast<std::uint8_t>(velocity));
    sent += message.size();
    messages.push_back(message);
  };
  const int chords[][4] = {{0, 4, 7, 12}, {0, 3, 7, 12}, {0, 4, 7, 10}, {0, 5, 7, 12}};
  while (sent < bytes) {
    const int* chord = chords[random() % 4];
    const int root = 36 + static_cast<int>(random() % 36);
    const int strings = 3 + static_cast<int>(random() % 10);
    for (int s = 0; s < strings; ++s) {
      const int velocity =
          habit.velocity != 0 ? habit.velocity : 30 + static_cast<int>(random() % 90);
      add(0x90, root + chord[s % 4] + s / 4 * 12, velocity);
    }
    for (int s = 0; s < strings; ++s) {
      const int note = root + chord[s % 4] + s / 4 * 12;
      habit.note_off ? add(0x80, note, 64) : add(0x90, note, 0);
    }
  }
  return messages;
}

Bytes misread_strums(double baud, bool keep_bad, Random& random) {
  const double error = 1 + (static_cast<double>(random() % 2001) - 1000) / 1000 * 0.02;
  Wire wire(baud * error);
  const Habit habit = random_habit(random);
  double t_us = 100;
  for (const Bytes& message : strums(habit, 2'500, random)) {
    for (const std::uint8_t byte : message) {
      wire.send(t_us, byte);
      t_us += wire.byte_us();
    }
    t_us += habit.gap_us * (0.7 + static_cast<double>(random() % 100) / 150);
  }
  return receive(wire, keep_bad, random);
}

std::optional<RateClaim> claim_on(const Bytes& bytes) {
  RateGuess guess;
  return guess.push(bytes);
}

Bytes flat(const std::vector<Bytes>& messages) {
  Bytes bytes;
  for (const Bytes& message : messages) bytes.insert(bytes.end(), message.begin(), message.end());
  return bytes;
}

Bytes note_bytes(Random& random) { return flat(strums(random_habit(random), 1'200, random)); }

Bytes any_bytes(Random& random) {
  Bytes bytes(600);
  for (auto& byte : bytes) byte = static_cast<std::uint8_t>(random());
  return bytes;
}

/// Dumps, clocks, sensing, bends, pressure and controls.
Bytes legal_bytes(Random& random) {
  Bytes bytes;
  const auto add = [&](unsigned byte) { bytes.push_back(static_cast<std::uint8_t>(byte)); };
  const auto add_values = [&](unsigned count) {
    while (count-- > 0) add(random() % 128);
  };
  while (bytes.size() < 1'200) {
    switch (random() % 6) {
      case 0:
        add(0xF0);
        add_values(random() % 90);
        add(0xF7);
        break;
      case 1:
        for (auto count = random() % 30; count > 0; --count) add(0xF8);
        break;
      case 2:
        add(0xFE);
        break;
      case 3:
        add(0xE0 + random() % 16);
        add_values(2 * (1 + random() % 30));
        break;
      case 4:
        add(0xD0);
        add_values(1);
        break;
      default:
        add(0xB0);
        add(1);
        add_values(1);
    }
  }
  return bytes;
}

/// Up to 60 % of the bytes fall out.
Bytes with_losses(const Bytes& bytes, Random& random) {
  const unsigned loss = random() % 60;
  Bytes left;
  for (const auto byte : bytes) {
    if (random() % 100 >= loss) left.push_back(byte);
  }
  return left;
}

/// Notes of a sender whose status byte came before the first byte here.
Bytes values_only(Random& random) {
  Bytes bytes = note_bytes(random);
  bytes.erase(std::remove_if(bytes.begin(), bytes.end(), [](auto byte) { return byte >= 0x80; }),
              bytes.end());
  return bytes;
}

Bytes text_bytes(Random& random) {
  const std::string words[] = {"note ",  "on ",    "string ", "=",      "touch: ", "raw ",
                               "OK\r\n", "chord ", ", ",      "value ", "ERR ",    "\n"};
  std::string text;
  while (text.size() < 600) {
    text += random() % 3 == 0 ? std::to_string(random() % 1024) : words[random() % 12];
  }
  return {text.begin(), text.end()};
}

/// What a receiver reads of a line that floats.
Bytes noise_bytes(Random& random) {
  const double means_us[] = {6, 8, 12, 20, 32, 45, 64, 100, 160};
  Wire wire(31'250);
  wire.shake(means_us[random() % 9], 8'000, random);
  return receive(wire, random() % 2 == 0, random);
}

}  // namespace

TEST_CASE("a sender at another rate is found, and the rate is named rightly") {
  struct Row {
    double baud;
    int least_dropped;  ///< claims of a hundred with bad frames dropped
    int least_kept;     ///< and with these kept
  };
  // The floors lie somewhat under what was measured. Below 4,800 baud only zeros are read, and at
  // 4,800 without bad frames mostly one value. At 250,000 a frame is little more than a bit here,
  // and one claim in five names another fast rate.
  const Row rows[] = {{1'200, 0, 0},    {2'400, 0, 0},     {4'800, 5, 90},
                      {9'600, 90, 85},  {19'200, 95, 95},  {38'400, 30, 65},
                      {57'600, 80, 70}, {115'200, 55, 65}, {250'000, 35, 30}};
  Random random(31250);
  for (const Row& row : rows) {
    for (const bool keep_bad : {false, true}) {
      int enough = 0;
      int claimed = 0;
      int right = 0;
      for (int run = 0; run < 60; ++run) {
        const Bytes bytes = misread_strums(row.baud, keep_bad, random);
        enough += bytes.size() >= 64 ? 1 : 0;
        const auto claim = claim_on(bytes);
        claimed += claim ? 1 : 0;
        right += claim && claim->baud == row.baud ? 1 : 0;
      }
      MESSAGE(row.baud << " baud, bad frames " << std::string(keep_bad ? "kept: " : "dropped: ")
                       << claimed << " of " << enough << " claimed, " << right
                       << " with this rate");
      const int least = keep_bad ? row.least_kept : row.least_dropped;
      CHECK(claimed * 100 >= enough * least);
      CHECK(right * 100 >= claimed * 75);
      if (least == 0) CHECK(claimed == 0);
    }
  }
}

TEST_CASE("no claim is made on anything but another rate") {
  struct Row {
    std::string source;
    Bytes (*make)(Random&);
  };
  const Row rows[] = {
      {"notes", note_bytes},
      {"notes with losses", [](Random& random) { return with_losses(note_bytes(random), random); }},
      {"notes joined under running status", values_only},
      {"other messages", legal_bytes},
      {"those with losses",
       [](Random& random) { return with_losses(legal_bytes(random), random); }},
      {"anything", any_bytes},
      {"printed text", text_bytes},
      {"a line that floats", noise_bytes},
      {"a byte over and over",
       [](Random& random) { return Bytes(600, static_cast<std::uint8_t>(random() % 128)); }},
  };
  for (const Row& row : rows) {
    INFO(row.source);
    Random random(5);
    int claims = 0;
    for (int run = 0; run < 2'000; ++run) claims += claim_on(row.make(random)) ? 1 : 0;
    CHECK(claims == 0);
  }
}

TEST_CASE("the claim waits for 64 bytes, is made once, and does not depend on the cut") {
  Random random(3);
  Bytes bytes;
  while (!claim_on(bytes)) bytes = misread_strums(19'200, true, random);
  const auto whole = claim_on(bytes);
  RateGuess guess;
  int claims = 0;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const auto claim = guess.push(std::span(bytes).subspan(i, 1));
    if (!claim) continue;
    ++claims;
    CHECK(i + 1 == whole->bytes);
    CHECK(i + 1 >= 64);
    CHECK(claim->baud == whole->baud);
    CHECK(claim->margin == whole->margin);
  }
  CHECK(claims == 1);
  bytes.resize(63);
  CHECK_FALSE(claim_on(bytes).has_value());
}

TEST_CASE("after 512 bytes of notes nothing is claimed any more") {
  Random random(4);
  Bytes bytes = note_bytes(random);
  bytes.resize(512);
  RateGuess guess;
  CHECK_FALSE(guess.push(bytes).has_value());
  for (int run = 0; run < 20; ++run) {
    CHECK_FALSE(guess.push(misread_strums(9'600, true, random)).has_value());
  }
}
