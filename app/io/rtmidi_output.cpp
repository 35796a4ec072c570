// app/io/rtmidi_output.cpp
#include "app/io/rtmidi_output.h"

#include <chrono>
#include <thread>
#include <utility>

#include "app/io/name_match.h"
#include "app/io/watchdog.h"

namespace strumwright::io {

namespace {

constexpr std::int64_t close_limit_ms = 2000;
/// What an API may still hold after sendMessage returned; two periods of 1,024 at 48 kHz (ours).
constexpr auto settle_time = std::chrono::milliseconds(45);

}  // namespace

OpenedOutput RtMidiOutput::open(RtMidi::Api api, const std::string& port,
                                const std::string& own_name) {
  auto complaints = std::make_unique<Complaints>();
  auto made = make_rtmidi_out(api, *complaints);
  if (!made) return made.error();
  if (const auto opened = open_rtmidi(**made, port, own_name, *complaints); !opened) {
    return opened.error();
  }
  const std::string name = port.empty() ? own_name : std::string(lasting_name(port));
  return {std::make_unique<RtMidiOutput>(name, std::move(complaints), std::move(*made))};
}

RtMidiOutput::RtMidiOutput(std::string name, std::unique_ptr<Complaints> complaints,
                           std::unique_ptr<RtMidiOut> port)
    : name_(std::move(name)), complaints_(std::move(complaints)), port_(std::move(port)) {}

RtMidiOutput::~RtMidiOutput() {
  // Closing may hang; what it needs goes along with it.
  close_within([port = std::shared_ptr<RtMidiOut>(std::move(port_)),
                complaints = std::shared_ptr<Complaints>(
                    std::move(complaints_))]() mutable { port.reset(); },
               close_limit_ms);
}

Result<Done> RtMidiOutput::send(std::int64_t /*t_ns*/, std::span<const std::uint8_t> bytes) {
  if (bytes.empty()) return Done{};
  try {
    port_->sendMessage(bytes.data(), bytes.size());
  } catch (const std::exception& error) {
    complaints_->add(error.what());
  }
  const auto complaint = complaints_->take();
  if (complaint.empty()) return Done{};
  return Error{"a message could not be sent: " + complaint, name_,
               "see whether the port is still there"};
}

void RtMidiOutput::flush() { std::this_thread::sleep_for(settle_time); }

}  // namespace strumwright::io
