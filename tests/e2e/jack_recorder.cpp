// tests/e2e/jack_recorder.cpp
// Prints what arrives on a JACK MIDI port, an event a line: `FRAME HEX`, frames from the first
// event.
//
//   jack_recorder [--from PORT] [--client NAME] [--for S] [--count N]
//
// Its port is NAME:in. With --from it waits for that port and connects. Ends after S seconds
// (default 5) or N events; exits with 1 if N were asked for and fewer came.
#include <array>
#include <atomic>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <iostream>
#include <string>
#include <thread>
#include <vector>

#include <jack/jack.h>
#include <jack/midiport.h>

namespace {

using namespace std::chrono_literals;

struct Record {
  jack_nframes_t frame = 0;
  std::uint32_t size = 0;
  std::array<std::uint8_t, 256> bytes{};
};

struct Recorder {
  jack_client_t* client = nullptr;
  jack_port_t* port = nullptr;
  std::vector<Record> records = std::vector<Record>(65'536);
  std::atomic<std::size_t> count{0};
};

int process(jack_nframes_t frames, void* that) {
  auto& recorder = *static_cast<Recorder*>(that);
  void* buffer = jack_port_get_buffer(recorder.port, frames);
  for (std::uint32_t i = 0; i < jack_midi_get_event_count(buffer); ++i) {
    jack_midi_event_t event{};
    if (jack_midi_event_get(&event, buffer, i) != 0) continue;
    const std::size_t at = recorder.count;
    if (at == recorder.records.size()) break;
    Record& record = recorder.records[at];
    record.frame = jack_last_frame_time(recorder.client) + event.time;
    record.size = static_cast<std::uint32_t>(event.size);
    for (std::size_t k = 0; k < event.size && k < record.bytes.size(); ++k) {
      record.bytes[k] = event.buffer[k];
    }
    recorder.count = at + 1;
  }
  return 0;
}

void print(const Recorder& recorder) {
  for (std::size_t i = 0; i < recorder.count; ++i) {
    const Record& record = recorder.records[i];
    std::printf("%u ", record.frame - recorder.records[0].frame);
    for (std::size_t k = 0; k < record.size && k < record.bytes.size(); ++k) {
      std::printf("%02x", record.bytes[k]);
    }
    std::printf(record.size > record.bytes.size() ? "... (%u bytes)\n" : "\n", record.size);
  }
}

}  // namespace

int main(int argument_count, char** words) {
  std::string from;
  std::string name = "recorder";
  double seconds = 5.0;
  std::size_t wanted = 0;
  for (int i = 1; i + 1 < argument_count; i += 2) {
    const std::string word = words[i];
    if (word == "--from") from = words[i + 1];
    if (word == "--client") name = words[i + 1];
    if (word == "--for") seconds = std::stod(words[i + 1]);
    if (word == "--count") wanted = std::stoul(words[i + 1]);
  }
  jack_set_error_function([](const char*) {});
  jack_set_info_function([](const char*) {});
  Recorder recorder;
  recorder.client = jack_client_open(name.c_str(), JackNoStartServer, nullptr);
  if (recorder.client == nullptr) {
    std::cerr << "jack_recorder: no JACK server\n";
    return 1;
  }
  recorder.port =
      jack_port_register(recorder.client, "in", JACK_DEFAULT_MIDI_TYPE, JackPortIsInput, 0);
  jack_set_process_callback(recorder.client, process, &recorder);
  jack_activate(recorder.client);
  const auto until = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
  bool linked = from.empty();
  while (std::chrono::steady_clock::now() < until && (wanted == 0 || recorder.count < wanted)) {
    if (!linked) {
      linked = jack_connect(recorder.client, from.c_str(), jack_port_name(recorder.port)) == 0;
    }
    std::this_thread::sleep_for(5ms);
  }
  jack_client_close(recorder.client);
  print(recorder);
  return wanted != 0 && recorder.count < wanted ? 1 : 0;
}
