// core/wire/rate_models.cpp
#include "core/wire/rate_models.h"

#include <cmath>
#include <random>

#include "core/midi/status.h"
#include "core/wire/misread.h"

namespace strumwright::wire {
namespace {

constexpr double nominal_baud = 31'250;
constexpr int strokes = 40;  // of each manner
/// Clock error of sender and receiver together, and how late the edge is seen (ours).
struct Receiving {
  double error;
  double late;
};
constexpr Receiving receivings[] = {{-0.02, 0.06}, {-0.01, 0}, {0, 0.03}, {0.01, 0.06}, {0.02, 0}};

/// How a firmware sends notes.
struct Manner {
  bool running;   ///< status
  bool note_off;  ///< releases; else Note On with velocity 0
  bool close;     ///< message on message, else one by one
};

/// A sender of typical notes: strokes and chords and their releases, some controls.
class Player {
 public:
  Player(double sender_bits, Manner manner) : sender_bits_(sender_bits), manner_(manner) {}

  SentBits play() {
    rest();
    for (int i = 0; i < strokes; ++i) stroke();
    return line_;
  }

 private:
  unsigned random(unsigned below) { return static_cast<unsigned>(random_() % below); }
  /// Nothing for some bits of the receiver; more would change nothing.
  void rest() { line_.idle(static_cast<std::size_t>((1 + random(30)) * sender_bits_) + 1); }

  void message(unsigned kind, unsigned first, unsigned second) {
    const auto status = static_cast<std::uint8_t>(kind | channel_);
    if (!manner_.running || status != status_) line_.send(status);
    status_ = status;
    line_.send(static_cast<std::uint8_t>(first));
    line_.send(static_cast<std::uint8_t>(second));
    if (!manner_.close) rest();
  }

  void stroke() {
    static constexpr unsigned velocities[] = {64, 80, 100, 127};
    static constexpr unsigned controls[] = {1, 7, 10, 64};
    channel_ = random(4) == 0 ? random(16) : 0;
    const unsigned fixed = random(3) == 0 ? 0 : velocities[random(4)];
    const unsigned root = 36 + random(36);
    const unsigned count = 1 + random(8);
    for (unsigned i = 0; i < count; ++i) {
      message(midi::note_on, root + 3 * i + random(3), fixed != 0 ? fixed : 1 + random(127));
    }
    rest();
    for (unsigned i = 0; i < count; ++i) {
      message(manner_.note_off ? midi::note_off : midi::note_on, root + 3 * i + random(3),
              manner_.note_off ? 64 : 0);
    }
    rest();
    if (random(8) == 0) message(midi::control_change, controls[random(4)], random(128));
  }

  double sender_bits_;
  Manner manner_;
  SentBits line_;
  std::mt19937 random_{31'250};
  unsigned channel_ = 0;
  std::uint8_t status_ = 0;
};

/// All of them.
std::vector<Manner> manners() {
  std::vector<Manner> all;
  for (unsigned i = 0; i < 8; ++i) all.push_back({(i & 1U) != 0, (i & 2U) != 0, (i & 4U) != 0});
  return all;
}

ByteModel model_of(const std::vector<double>& weights) {
  double sum = 0;
  for (const double weight : weights) sum += weight;
  ByteModel model{};
  for (std::size_t i = 0; i < model.size(); ++i) {
    model[i] = std::log((1 - anything) * weights[i] / sum + anything / 256);
  }
  return model;
}

ByteModel model_of(const std::vector<std::uint8_t>& bytes) {
  std::vector<double> weights(256);
  for (const std::uint8_t byte : bytes) weights[byte] += 1;
  return model_of(weights);
}

std::vector<double> range(std::size_t first, std::size_t last) {
  std::vector<double> weights(256);
  for (std::size_t i = first; i <= last; ++i) weights[i] = 1;
  return weights;
}

/// A line that is pulled here and there: edges at random, so many receiver bits apart on average.
SentBits noise(double mean_bits, std::size_t fine) {
  std::mt19937 random(1);
  SentBits line;
  std::uint8_t level = 1;
  for (int i = 0; i < 20'000; ++i) {
    const double u = (static_cast<double>(random()) + 0.5) / 4294967296.0;
    const double length = -std::log(u) * mean_bits * static_cast<double>(fine);
    line.level(level, 1 + static_cast<std::size_t>(length));
    level ^= 1U;
  }
  return line;
}

/// Whatever MIDI allows, clocks and sensing among it.
ByteModel legal_mix() {
  std::vector<double> weights(256);
  for (std::size_t i = 0; i < 0x80; ++i) weights[i] = 0.6 / 0x80;
  for (std::size_t i = 0x80; i < 0xF0; ++i) weights[i] = 0.2 / 0x70;
  weights[midi::sysex_start] = weights[midi::sysex_end] = 0.02;
  weights[midi::timing_clock] = 0.12;
  weights[midi::active_sensing] = 0.04;
  return model_of(weights);
}

void add_others(std::vector<ByteModel>& others) {
  others.push_back(legal_mix());
  others.push_back(model_of(range(0, 255)));
  others.push_back(model_of(range(0, 127)));
  auto text = range(0x20, 0x7E);
  text['\r'] = text['\n'] = text[' '] = 3;
  others.push_back(model_of(text));
  others.push_back(model_of(range(0, 0)));
  constexpr std::size_t fine = 16;
  for (const double mean_bits : {0.25, 0.5, 1.0, 2.0, 4.0}) {
    for (const auto frames : {BadFrames::dropped, BadFrames::kept}) {
      others.push_back(model_of(misread(noise(mean_bits, fine), fine, frames)));
    }
  }
}

void add_rate(double baud, Manner manner, std::vector<RateModels::Rate>& rates) {
  const double sender_bits = baud / nominal_baud;
  const SentBits line = Player(sender_bits, manner).play();
  for (const auto frames : {BadFrames::dropped, BadFrames::kept}) {
    std::vector<double> weights(256);
    bool any = false;
    for (const auto& [error, late] : receivings) {
      for (const auto byte : misread(line, sender_bits * (1 + error), frames, late)) {
        weights[byte] += 1;
        any = true;
      }
    }
    if (any) rates.push_back({baud, model_of(weights)});
  }
}

RateModels build() {
  RateModels models;
  add_others(models.others);
  for (const double baud : sender_rates) {
    for (const Manner& manner : manners()) add_rate(baud, manner, models.rates);
  }
  return models;
}

}  // namespace

const RateModels& rate_models() {
  static const RateModels models = build();
  return models;
}

}  // namespace strumwright::wire
