// app/io/rtmidi_port.cpp
#include "app/io/rtmidi_port.h"

#include <algorithm>
#include <utility>

#include <unistd.h>

#include "app/io/jack_client.h"
#include "app/io/name_match.h"

namespace strumwright::io {

namespace {

constexpr const char* client_name = "strumwright";
constexpr unsigned queue_size = 100;  // RtMidi's own default; unused, for we take the callback

void on_error(RtMidiError::Type /*type*/, const std::string& text, void* complaints) {
  static_cast<Complaints*>(complaints)->add(text);
}

Error refused(RtMidi::Api api, const std::string& why) {
  const std::string name = RtMidi::getApiDisplayName(api);
  return {name + " does not answer: " + why, name, "start its service, then try again"};
}

/// RtMidi throws from constructors, and from opening where no callback is set yet.
template <class Port, class Make>
Result<std::unique_ptr<Port>> guarded(RtMidi::Api api, Complaints& complaints, Make make) {
  try {
    std::unique_ptr<Port> port = make();
    port->setErrorCallback(on_error, &complaints);
    return port;
  } catch (const RtMidiError& error) {
    return refused(api, error.getMessage());
  } catch (const std::exception& error) {
    return refused(api, error.what());
  }
}

}  // namespace

void Complaints::add(const std::string& text) {
  const std::lock_guard lock(mutex_);
  newest_ = text;
}

std::string Complaints::take() {
  const std::lock_guard lock(mutex_);
  return std::exchange(newest_, {});
}

bool has_alsa_sequencer() { return ::access("/dev/snd/seq", R_OK | W_OK) == 0; }

bool api_works(RtMidi::Api api) {
  if (api == RtMidi::RTMIDI_DUMMY) return false;
  if (api == RtMidi::UNIX_JACK) return jack_runs();
  return api != RtMidi::LINUX_ALSA || has_alsa_sequencer();
}

std::vector<RtMidi::Api> working_apis() {
  std::vector<RtMidi::Api> apis;
  RtMidi::getCompiledApi(apis);
  std::erase_if(apis, [](RtMidi::Api api) { return !api_works(api); });
  return apis;
}

Result<std::unique_ptr<RtMidiIn>> make_rtmidi_in(RtMidi::Api api, Complaints& complaints) {
  return guarded<RtMidiIn>(api, complaints, [&] {
    auto port = std::make_unique<RtMidiIn>(api, client_name, queue_size);
    // A bench wants all of it: SysEx, timing, active sensing.
    port->ignoreTypes(false, false, false);
    return port;
  });
}

Result<std::unique_ptr<RtMidiOut>> make_rtmidi_out(RtMidi::Api api, Complaints& complaints) {
  return guarded<RtMidiOut>(api, complaints, [&] {
    return std::make_unique<RtMidiOut>(api, std::string(client_name) + "-out");
  });
}

std::vector<std::string> rtmidi_names(RtMidi& ports) {
  std::vector<std::string> names;
  const unsigned count = ports.getPortCount();
  for (unsigned i = 0; i < count; ++i) names.push_back(ports.getPortName(i));
  return names;
}

Result<Done> open_rtmidi(RtMidi& ports, const std::string& name, const std::string& own_name,
                         Complaints& complaints) {
  static_cast<void>(complaints.take());
  try {
    if (name.empty()) {
      ports.openVirtualPort(own_name);
    } else {
      const auto names = rtmidi_names(ports);
      auto found = std::find(names.begin(), names.end(), name);
      if (found == names.end()) {
        found = std::find_if(names.begin(), names.end(), [&](const auto& other) {
          return lasting_name(other) == lasting_name(name);
        });
      }
      if (found == names.end()) return Error{"the port has gone", name, "plug it in again"};
      ports.openPort(static_cast<unsigned>(found - names.begin()), own_name);
    }
  } catch (const std::exception& error) {
    complaints.add(error.what());
  }
  const auto complaint = complaints.take();
  if (complaint.empty()) return Done{};
  return Error{"the port cannot be opened: " + complaint, name.empty() ? own_name : name,
               "see whether another program holds it"};
}

}  // namespace strumwright::io
