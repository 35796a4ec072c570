// app/io/jack_output.cpp
#include "app/io/jack_output.h"

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <thread>
#include <utility>

#include <jack/midiport.h>

#include "app/io/clock.h"
#include "app/io/jack_client.h"
#include "app/io/stamped_ring.h"
#include "app/io/watchdog.h"

namespace strumwright::io {

/// One stay at a server: what libjack's threads touch. Outlives a close that hangs.
// NOLINTNEXTLINE(clang-analyzer-optin.performance.Padding): the ring's alignment
struct JackLine {
  JackClient client;
  jack_port_t* port = nullptr;
  JackClock clock;
  Doorbell unheard;  // the process callback comes by itself
  StampedRing waiting{unheard, std::size_t{1} << 18U};
  std::uint64_t put = 0;
  std::atomic<std::uint64_t> taken{0};

  void give(jack_nframes_t frames) noexcept;
};

namespace {

constexpr const char* client_name = "strumwright-out";
constexpr std::int64_t flush_limit_ns = 500'000'000;
constexpr std::int64_t close_limit_ms = 2000;

int on_process(jack_nframes_t frames, void* line) {
  static_cast<JackLine*>(line)->give(frames);
  return 0;
}

Result<std::shared_ptr<JackLine>> open_line(const std::string& name) {
  auto client = JackClient::open(client_name);
  if (!client) return client.error();
  auto line = std::make_shared<JackLine>();
  line->client = std::move(*client);
  jack_client_t* jack = line->client.get();
  line->port = jack_port_register(jack, name.c_str(), JACK_DEFAULT_MIDI_TYPE, JackPortIsOutput, 0);
  jack_set_process_callback(jack, on_process, line.get());
  if (line->port == nullptr || jack_activate(jack) != 0) {
    return Error{"the JACK server gives us no port '" + name + "'", "JACK",
                 "give another name, or start the server with more ports (-p)"};
  }
  return line;
}

bool connect(JackLine& line, const std::string& peer) {
  if (peer.empty() || jack_port_connected_to(line.port, peer.c_str()) != 0) return true;
  jack_client_t* jack = line.client.get();
  if (jack_port_by_name(jack, peer.c_str()) == nullptr) return false;
  const int done = jack_connect(jack, jack_port_name(line.port), peer.c_str());
  // Connections are listed a little after they are made.
  return done == 0 || done == EEXIST;
}

void close_or_abandon(const std::shared_ptr<JackLine>& line) {
  // A client that cannot be closed still has its callbacks, so what they touch stays.
  if (!line->client.close()) new std::shared_ptr<JackLine>(line);
}

}  // namespace

void JackLine::give(jack_nframes_t frames) noexcept {
  void* buffer = jack_port_get_buffer(port, frames);
  jack_midi_clear_buffer(buffer);
  clock.look();
  const jack_nframes_t first = jack_last_frame_time(client.get());
  std::int32_t least = 0;
  while (const auto* item = waiting.front()) {
    // Frame times wrap at 32 bits: their difference as a signed number does not.
    const jack_nframes_t due =
        jack_time_to_frames(client.get(), clock.from_ns(item->t_ns)) + frames;
    const auto offset = std::max(static_cast<std::int32_t>(due - first), least);
    if (offset >= static_cast<std::int32_t>(frames)) break;
    const auto at = static_cast<jack_nframes_t>(offset);
    const bool fits = item->bytes.size() <= jack_midi_max_event_size(buffer);
    if (fits) jack_midi_event_write(buffer, at, item->bytes.data(), item->bytes.size());
    // What does not fit beside others goes first in the next period.
    if (!fits && jack_midi_get_event_count(buffer) > 0) break;
    least = offset;
    waiting.pop();
    taken.fetch_add(1, std::memory_order_release);
  }
}

OpenedOutput JackOutput::open(std::string peer, std::string name) {
  auto line = open_line(name);
  if (!line) return line.error();
  if (!connect(**line, peer)) {
    return Error{"the port cannot be connected", peer, "see whether it is still there"};
  }
  return {std::make_unique<JackOutput>(std::move(peer), std::move(name), std::move(*line))};
}

JackOutput::JackOutput(std::string peer, std::string name, std::shared_ptr<JackLine> line)
    : peer_(std::move(peer)),
      name_(std::move(name)),
      shown_name_(peer_.empty() ? jack_port_name(line->port) : peer_),
      line_(std::move(line)) {}

JackOutput::~JackOutput() {
  flush();
  leave();
}

std::string JackOutput::name() const { return shown_name_; }

void JackOutput::tend() {
  // Soon, for no client of the process can be opened until this one is closed.
  if (line_ && line_->client.ended()) leave();
  if (!line_) {
    if (auto line = open_line(name_)) line_ = std::move(*line);
  }
  if (line_) connect(*line_, peer_);
}

Result<Done> JackOutput::check() {
  constexpr const char* remedy = "it is tried again each second";
  if (!line_ || line_->client.ended()) {
    return Error{"the JACK server has stopped", shown_name_, remedy};
  }
  if (!connect(*line_, peer_)) return Error{"the port has gone", shown_name_, remedy};
  return Done{};
}

Result<Done> JackOutput::send(std::int64_t t_ns, std::span<const std::uint8_t> bytes) {
  if (bytes.empty()) return Done{};
  if (auto ready = check(); !ready) return ready;
  if (!line_->waiting.push(t_ns, bytes)) {
    return Error{"more is sent than the port takes", shown_name_, "send it more slowly"};
  }
  ++line_->put;
  return Done{};
}

std::int64_t JackOutput::lead_ns() const {
  return 2'000'000;  // ours: a sender's thread wakes up within that, so the frame is met
}

void JackOutput::flush() {
  if (!line_) return;
  const auto until_ns = now_ns() + flush_limit_ns;
  while (!line_->client.ended() && line_->taken.load(std::memory_order_acquire) != line_->put &&
         now_ns() < until_ns) {
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  if (line_->client.ended()) return;
  // Until the period that has the last message is over.
  const auto period_ns = jack_period_ns();
  if (period_ns) std::this_thread::sleep_for(std::chrono::nanoseconds(2 * *period_ns));
}

void JackOutput::leave() {
  if (!line_) return;
  close_within([line = std::exchange(line_, nullptr)]() { close_or_abandon(line); },
               close_limit_ms);
}

}  // namespace strumwright::io
