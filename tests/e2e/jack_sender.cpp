// tests/e2e/jack_sender.cpp
// Sends exact bytes through JACK, each event at an exact frame, as another program would.
//
//   jack_sender [--to PORT] [--client NAME] [--wait S] [--hold MS] [--repeat N] EVENT... | -
//
// An EVENT is `[DELAY:]HEX`: one JACK event of these bytes, DELAY frames (`240:903c64`) or
// microseconds (`5000us:903c64`) after the event before. `-` reads events from stdin. Nothing is
// checked: running status, stray data and pieces of a SysEx pass as they are. Exits with 1 if PORT
// does not come within S seconds or not all was sent.
#include <atomic>
#include <chrono>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <iostream>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include <jack/jack.h>
#include <jack/midiport.h>

namespace {

using namespace std::chrono_literals;

struct Event {
  std::uint64_t frame = 0;  // by the server's clock, which goes on while cycles are missed
  std::vector<std::uint8_t> bytes;
};

struct Options {
  std::string to;
  std::string client = "sender";
  double wait_s = 5.0;
  int hold_ms = 100;
  int repeat = 1;
  std::vector<std::string> events;
};

struct Sender {
  jack_client_t* client = nullptr;
  jack_port_t* port = nullptr;
  std::vector<Event> events;
  std::atomic<bool> go{false};
  std::atomic<std::size_t> next{0};
  bool started = false;
  jack_nframes_t first = 0;  // the server's frame at which ours begin
};

int fail(const std::string& text) {
  std::cerr << "jack_sender: " << text << '\n';
  return 1;
}

int process(jack_nframes_t frames, void* that) {
  auto& sender = *static_cast<Sender*>(that);
  void* buffer = jack_port_get_buffer(sender.port, frames);
  jack_midi_clear_buffer(buffer);
  if (!sender.go) return 0;
  const jack_nframes_t now = jack_last_frame_time(sender.client);
  if (!std::exchange(sender.started, true)) sender.first = now;
  const std::uint64_t frame = now - sender.first;
  std::size_t next = sender.next;
  for (; next < sender.events.size(); ++next) {
    const Event& event = sender.events[next];
    if (event.frame >= frame + frames) break;
    const auto offset = static_cast<jack_nframes_t>(event.frame > frame ? event.frame - frame : 0);
    if (jack_midi_event_write(buffer, offset, event.bytes.data(), event.bytes.size()) != 0) break;
  }
  sender.next = next;
  return 0;
}

std::vector<std::uint8_t> from_hex(const std::string& hex) {
  std::vector<std::uint8_t> bytes;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
    bytes.push_back(static_cast<std::uint8_t>(std::stoi(hex.substr(i, 2), nullptr, 16)));
  }
  return bytes;
}

std::vector<Event> parse(const std::vector<std::string>& words, int repeat, unsigned rate) {
  std::vector<Event> events;
  std::uint64_t frame = 0;
  for (int round = 0; round < repeat; ++round) {
    for (const auto& word : words) {
      const auto colon = word.find(':');
      if (colon != std::string::npos) {
        const auto delay = std::stoull(word.substr(0, colon));
        const bool in_us = word.substr(0, colon).find("us") != std::string::npos;
        frame += in_us ? delay * rate / 1'000'000 : delay;
      }
      events.push_back(
          {frame, from_hex(colon == std::string::npos ? word : word.substr(colon + 1))});
    }
  }
  return events;
}

Options read_options(int count, char** words) {
  Options options;
  for (int i = 1; i < count; ++i) {
    const std::string word = words[i];
    const auto value = [&]() { return std::string(i + 1 < count ? words[++i] : ""); };
    if (word == "--to") {
      options.to = value();
    } else if (word == "--client") {
      options.client = value();
    } else if (word == "--wait") {
      options.wait_s = std::stod(value());
    } else if (word == "--hold") {
      options.hold_ms = std::stoi(value());
    } else if (word == "--repeat") {
      options.repeat = std::stoi(value());
    } else if (word == "-") {
      for (std::string event; std::cin >> event;) options.events.push_back(event);
    } else {
      options.events.push_back(word);
    }
  }
  return options;
}

template <class Condition>
bool wait_for(double seconds, Condition condition) {
  const auto until = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
  while (!condition()) {
    if (std::chrono::steady_clock::now() > until) return false;
    std::this_thread::sleep_for(5ms);
  }
  return true;
}

int run(const Options& options) {
  Sender sender;
  sender.client = jack_client_open(options.client.c_str(), JackNoStartServer, nullptr);
  if (sender.client == nullptr) return fail("no JACK server");
  sender.port =
      jack_port_register(sender.client, "out", JACK_DEFAULT_MIDI_TYPE, JackPortIsOutput, 0);
  sender.events = parse(options.events, options.repeat, jack_get_sample_rate(sender.client));
  jack_set_process_callback(sender.client, process, &sender);
  jack_activate(sender.client);
  const auto connected = [&] {
    return jack_connect(sender.client, jack_port_name(sender.port), options.to.c_str()) == 0;
  };
  // Without a port to go to it waits for somebody to connect to it.
  const auto listened = [&] { return jack_port_connected(sender.port) > 0; };
  const bool linked =
      options.to.empty() ? wait_for(options.wait_s, listened) : wait_for(options.wait_s, connected);
  if (!linked) return fail("no port '" + options.to + "' to send to");
  std::this_thread::sleep_for(50ms);  // the graph settles
  sender.go = true;
  const double length_s = sender.events.empty() ? 0.0
                                                : static_cast<double>(sender.events.back().frame) /
                                                      jack_get_sample_rate(sender.client);
  const bool all = wait_for(length_s + 5.0, [&] { return sender.next >= sender.events.size(); });
  std::this_thread::sleep_for(std::chrono::milliseconds(options.hold_ms));
  jack_client_close(sender.client);
  return all ? 0 : fail("not all was sent");
}

}  // namespace

int main(int count, char** words) {
  jack_set_error_function([](const char*) {});
  jack_set_info_function([](const char*) {});
  return run(read_options(count, words));
}
