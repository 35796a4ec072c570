// app/io/rtmidi_source.cpp
#include "app/io/rtmidi_source.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "app/io/clock.h"
#include "app/io/gate.h"
#include "app/io/jack_client.h"
#include "app/io/name_match.h"
#include "app/io/watchdog.h"

namespace strumwright::io {

/// One opened port: what the library's callback touches. Whoever closes it holds it too, so that
/// it outlives a close that hangs.
struct RtMidiInput {
  Complaints complaints;
  Gate gate;
  StampedRing* into = nullptr;
  std::unique_ptr<RtMidiIn> port;
  std::optional<JackClient> server;  ///< through JACK only: knows when the server stops
};

namespace {

constexpr std::int64_t look_ns = 1'000'000'000;
constexpr std::int64_t close_limit_ms = 2000;

void on_message(double /*delta_s*/, std::vector<unsigned char>* bytes, void* input) {
  // RtMidi's own time is of no use: it restarts, wraps, and repeats itself within a packet.
  const auto t_ns = now_ns();
  auto& that = *static_cast<RtMidiInput*>(input);
  // An empty message can come (WinMM after an error).
  if (bytes == nullptr || bytes->empty() || !that.gate.enter()) return;
  that.into->push(t_ns, {bytes->data(), bytes->size()});
  that.gate.leave();
}

Result<std::shared_ptr<RtMidiInput>> make_input(RtMidi::Api api) {
  auto input = std::make_shared<RtMidiInput>();
  auto port = make_rtmidi_in(api, input->complaints);
  if (!port) return port.error();
  input->port = std::move(*port);
  if (api != RtMidi::UNIX_JACK) return input;
  auto server = JackClient::open("strumwright-look");
  if (!server) return server.error();
  input->server = std::move(*server);
  return input;
}

Result<Done> open_input(RtMidiInput& input, const std::string& port, const std::string& own_name,
                        StampedRing& into) {
  input.into = &into;
  // Before the port opens: else the first bytes would go to RtMidi's own small queue.
  input.port->setCallback(on_message, &input);
  return open_rtmidi(*input.port, port, own_name, input.complaints);
}

/// RtMidi stamps all events of a JACK period alike.
std::optional<std::int64_t> stamp_resolution_ns(RtMidi::Api api) {
  if (api != RtMidi::UNIX_JACK) return std::nullopt;
  const auto period_ns = jack_period_ns();
  return period_ns ? std::optional(*period_ns) : std::nullopt;
}

void close_or_abandon(const std::shared_ptr<RtMidiInput>& input) {
  // RtMidi 5.0 crashes when it closes a JACK port whose server has stopped [run].
  if (!input->server || !input->server->ended()) {
    input->port.reset();
    return;
  }
  new std::shared_ptr<RtMidiInput>(input);
  static_cast<void>(input->server->close());
}

std::string in_ms(std::int64_t ns) {
  const auto tenths = (ns + 50'000) / 100'000;
  return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " ms";
}

}  // namespace

OpenedSource RtMidiSource::open(RtMidi::Api api, std::string port, std::string own_name) {
  auto input = make_input(api);
  if (!input) return input.error();
  return {std::make_unique<RtMidiSource>(api, std::move(port), std::move(own_name),
                                         stamp_resolution_ns(api), std::move(*input))};
}

RtMidiSource::RtMidiSource(RtMidi::Api api, std::string port, std::string own_name,
                           std::optional<std::int64_t> resolution_ns,
                           std::shared_ptr<RtMidiInput> input)
    : api_(api),
      port_(std::move(port)),
      own_name_(std::move(own_name)),
      resolution_ns_(resolution_ns),
      input_(std::move(input)) {}

RtMidiSource::~RtMidiSource() { stop(); }

session::SourceInfo RtMidiSource::info() const {
  return {port_.empty() ? own_name_ : std::string(lasting_name(port_)), false, wire::Grade::message,
          resolution_ns_, false};
}

std::string RtMidiSource::detail() const {
  return "whole messages through " + RtMidi::getApiDisplayName(api_) +
         (resolution_ns_ ? ", stamped within " + in_ms(*resolution_ns_) : "") +
         "; running status cannot be seen here";
}

std::int64_t RtMidiSource::lateness_ns() const {
  return 2'000'000;  // ours: the stamp is taken in the callback, right before the push
}

Result<Done> RtMidiSource::start(StampedRing& into) {
  into_ = &into;
  const auto opened = open_input(*input_, port_, own_name_, into);
  if (!opened) return opened.error();
  // A port of our own does not go away.
  if (!port_.empty()) keeper_ = std::thread([this] { keep(); });
  return Done{};
}

void RtMidiSource::stop() {
  stopping_ = true;
  bell_.ring();
  if (keeper_.joinable()) keeper_.join();
  leave();
}

void RtMidiSource::keep() {
  Complaints complaints;
  std::unique_ptr<RtMidiIn> watcher;
  while (!stopping_) {
    const auto seen = bell_.count();
    if (!api_works(api_)) {
      watcher.reset();  // the service is away; asking it would print
    } else if (!watcher) {
      if (auto made = make_rtmidi_in(api_, complaints)) watcher = std::move(*made);
    }
    const bool listed = watcher && is_listed(*watcher);
    if (listed != static_cast<bool>(input_)) listed ? come_back() : say_gone();
    // A JACK client does not outlive its server, and does not say so.
    if (api_ == RtMidi::UNIX_JACK) watcher.reset();
    bell_.wait(seen, look_ns);
  }
}

bool RtMidiSource::is_listed(RtMidiIn& watcher) const {
  const auto names = rtmidi_names(watcher);
  return std::any_of(names.begin(), names.end(),
                     [&](const auto& name) { return lasting_name(name) == lasting_name(port_); });
}

void RtMidiSource::say_gone() {
  leave();
  into_->push_status(StampedRing::Kind::gone, now_ns(), port_ + " has gone");
}

void RtMidiSource::come_back() {
  auto input = make_input(api_);
  if (!input) return;
  into_->push_status(StampedRing::Kind::back, now_ns(), port_ + " is back");
  input_ = std::move(*input);
  if (!open_input(*input_, port_, own_name_, *into_)) say_gone();
}

void RtMidiSource::leave() {
  if (!input_) return;
  auto input = std::exchange(input_, nullptr);
  input->gate.close();  // from here on we are the ring's producer
  close_within([input]() { close_or_abandon(input); }, close_limit_ms);
}

}  // namespace strumwright::io
