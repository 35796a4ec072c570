// app/io/jack_source.cpp
#include "app/io/jack_source.h"

#include <cerrno>
#include <utility>

#include <jack/midiport.h>

#include "app/io/clock.h"
#include "app/io/device_error.h"
#include "app/io/gate.h"
#include "app/io/jack_client.h"
#include "app/io/watchdog.h"

namespace strumwright::io {

/// One stay at a server: what libjack's threads touch. Whoever closes the client holds it too, so
/// that it outlives a close that hangs.
struct JackInput {
  std::shared_ptr<Doorbell> bell;  // wakes the keeper
  std::string gone_text;
  std::string back_text;
  JackClient client;
  jack_port_t* port = nullptr;
  JackClock clock;
  StampedRing* into = nullptr;
  Gate gate;
  std::atomic<unsigned> link_changes{0};  // odd: gone. Counted by the keeper
  unsigned link_told = 0;                 // told by whoever is the ring's producer

  void tell_link(std::int64_t t_ns) noexcept;
  void take(jack_nframes_t frames) noexcept;
};

namespace {

constexpr std::int64_t look_ns = 1'000'000'000;
constexpr std::int64_t close_limit_ms = 2000;
constexpr const char* client_name = "strumwright";

int on_process(jack_nframes_t frames, void* input) {
  static_cast<JackInput*>(input)->take(frames);
  return 0;
}

void on_end(void* input) { static_cast<JackInput*>(input)->bell->ring(); }

void on_registration(jack_port_id_t /*port*/, int /*registered*/, void* input) {
  static_cast<JackInput*>(input)->bell->ring();
}

void on_connect(jack_port_id_t /*a*/, jack_port_id_t /*b*/, int /*connected*/, void* input) {
  static_cast<JackInput*>(input)->bell->ring();
}

Result<std::shared_ptr<JackInput>> open_input(const std::string& peer, const std::string& name,
                                              std::shared_ptr<Doorbell> bell) {
  auto input = std::make_shared<JackInput>();
  input->bell = std::move(bell);
  input->gone_text =
      peer.empty() ? "nothing is connected to our port any more" : peer + " has gone";
  input->back_text = peer.empty() ? "our port is connected again" : peer + " is back";
  auto client = JackClient::open(client_name, on_end, input.get());
  if (!client) return client.error();
  input->client = std::move(*client);
  jack_client_t* jack = input->client.get();
  input->port = jack_port_register(jack, name.c_str(), JACK_DEFAULT_MIDI_TYPE, JackPortIsInput, 0);
  if (input->port == nullptr) {
    return Error{"the JACK server gives us no port '" + name + "'", "JACK",
                 "give another name, or start the server with more ports (-p)"};
  }
  jack_set_process_callback(jack, on_process, input.get());
  jack_set_port_registration_callback(jack, on_registration, input.get());
  jack_set_port_connect_callback(jack, on_connect, input.get());
  return input;
}

void close_or_abandon(const std::shared_ptr<JackInput>& input) {
  // A client that cannot be closed still has its callbacks, so what they touch stays.
  if (!input->client.close()) new std::shared_ptr<JackInput>(input);
}

}  // namespace

void JackInput::tell_link(std::int64_t t_ns) noexcept {
  const unsigned changes = link_changes.load(std::memory_order_acquire);
  while (link_told != changes) {
    const bool gone = ++link_told % 2 == 1;
    if (gone) {
      into->push_status(StampedRing::Kind::gone, t_ns, gone_text);
    } else {
      into->push_status(StampedRing::Kind::back, t_ns, back_text);
    }
  }
}

void JackInput::take(jack_nframes_t frames) noexcept {
  if (!gate.enter()) return;
  jack_client_t* jack = client.get();
  clock.look();
  const jack_nframes_t first = jack_last_frame_time(jack);
  const auto time_ns = [&](jack_nframes_t offset) {
    return clock.to_ns(jack_frames_to_time(jack, first + offset));
  };
  tell_link(time_ns(0));
  void* buffer = jack_port_get_buffer(port, frames);
  const jack_nframes_t count = jack_midi_get_event_count(buffer);
  for (jack_nframes_t i = 0; i < count; ++i) {
    jack_midi_event_t event{};
    if (jack_midi_event_get(&event, buffer, i) != 0) continue;
    into->push(time_ns(event.time), {event.buffer, event.size});
  }
  gate.leave();
}

OpenedSource JackSource::open(std::string peer, std::string name) {
  auto input = open_input(peer, name, std::make_shared<Doorbell>());
  if (!input) return input.error();
  return {std::make_unique<JackSource>(std::move(peer), std::move(name), std::move(*input))};
}

JackSource::JackSource(std::string peer, std::string name, std::shared_ptr<JackInput> input)
    : peer_(std::move(peer)),
      name_(std::move(name)),
      shown_name_(peer_.empty() ? jack_port_name(input->port) : peer_),
      frame_rate_(jack_get_sample_rate(input->client.get())),
      period_(jack_get_buffer_size(input->client.get())),
      bell_(input->bell),
      input_(std::move(input)) {}

JackSource::~JackSource() { stop(); }

session::SourceInfo JackSource::info() const {
  return {shown_name_, false, wire::Grade::message, 1'000'000'000 / frame_rate_, false};
}

std::string JackSource::detail() const {
  return "whole messages through JACK, each at its frame (" + grouped(frame_rate_) +
         " Hz, period " + grouped(period_) + "); running status cannot be seen here";
}

std::int64_t JackSource::lateness_ns() const {
  return 2'000'000'000LL * period_ / frame_rate_;  // a period, and a callback that came late
}

Result<Done> JackSource::start(StampedRing& into) {
  into_ = &into;
  input_->into = &into;
  if (jack_activate(input_->client.get()) != 0) {
    return Error{"the JACK server does not let us run", "JACK", "look at the server's messages"};
  }
  if (!peer_.empty() && !connect()) {
    return Error{"the port cannot be connected", peer_, "see whether it is still there"};
  }
  linked_ = !peer_.empty();
  keeper_ = std::thread([this] { keep(); });
  return Done{};
}

void JackSource::stop() {
  stopping_ = true;
  bell_->ring();
  if (keeper_.joinable()) keeper_.join();
  leave(false);
}

void JackSource::keep() {
  while (!stopping_) {
    const auto seen = bell_->count();
    if (input_ && input_->client.ended()) leave(true);
    if (input_) {
      look();
    } else {
      come_back();
    }
    bell_->wait(seen, look_ns);
  }
}

bool JackSource::connect() {
  if (jack_port_connected_to(input_->port, peer_.c_str()) != 0) return true;
  jack_client_t* jack = input_->client.get();
  if (jack_port_by_name(jack, peer_.c_str()) == nullptr) return false;
  const int done = jack_connect(jack, peer_.c_str(), jack_port_name(input_->port));
  // Connections are listed a little after they are made.
  return done == 0 || done == EEXIST;
}

void JackSource::look() {
  const bool linked = peer_.empty() ? jack_port_connected(input_->port) > 0 : connect();
  if (linked == linked_) return;
  linked_ = linked;
  // A port of ours that nobody was connected to so far: there is nothing to be back.
  if (linked && !said_gone_) return;
  said_gone_ = !linked;
  input_->link_changes.fetch_add(1, std::memory_order_release);
}

void JackSource::come_back() {
  auto input = open_input(peer_, name_, bell_);
  if (!input) return;
  input_ = std::move(*input);
  input_->into = into_;
  input_->link_changes = input_->link_told = said_gone_ ? 1 : 0;
  frame_rate_ = jack_get_sample_rate(input_->client.get());
  period_ = jack_get_buffer_size(input_->client.get());
  if (jack_activate(input_->client.get()) != 0) {
    leave(false);
    return;
  }
  look();
}

void JackSource::leave(bool tell) {
  if (!input_) return;
  auto input = std::exchange(input_, nullptr);
  input->gate.close();  // from here on we are the ring's producer
  if (tell) {
    input->tell_link(now_ns());
    if (linked_) {
      into_->push_status(StampedRing::Kind::gone, now_ns(), "the JACK server has stopped");
      said_gone_ = true;
    }
    linked_ = false;
  }
  close_within([input]() { close_or_abandon(input); }, close_limit_ms);
}

}  // namespace strumwright::io
