// tests/speed/port_speed.cpp
// From a MIDI port to the now-state, beside a bare JACK client that gets the same notes in the same
// run: what the bench adds. Starts a dummy JACK server of its own.
//
//   speed_port [NOTES]
//
// A note is handed to the sender at a random moment; times count from there. The bare loop ends in
// the process callback of a second client; ours when the main thread, woken, has read a now-state
// that holds the note. The wait for the next JACK cycle is in both.
#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include <jack/jack.h>
#include <jack/midiport.h>
#include <sys/wait.h>
#include <unistd.h>

#include "app/engine/bench.h"
#include "app/io/clock.h"
#include "app/io/doorbell.h"

using namespace strumwright;

namespace {

constexpr int usual_notes = 1000;
constexpr std::int64_t ms = 1'000'000;

/// A dummy server of this process, on 64 frames at 48 kHz.
class Server {
 public:
  Server() {
    const std::string name = "speed" + std::to_string(::getpid());
    ::setenv("JACK_DEFAULT_SERVER", name.c_str(), 1);
    ::setenv("JACK_NO_START_SERVER", "1", 1);
    child_ = ::fork();
    if (child_ != 0) return;
    static_cast<void>(std::freopen("/dev/null", "w", stdout));
    static_cast<void>(std::freopen("/dev/null", "w", stderr));
    ::execlp("jackd", "jackd", "-r", "-m", "-p", "64", "-d", "dummy", "-r", "48000", "-p", "64",
             static_cast<char*>(nullptr));
    ::_exit(1);
  }
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;
  ~Server() {
    ::kill(child_, SIGTERM);
    ::waitpid(child_, nullptr, 0);
  }

 private:
  pid_t child_;
};

/// Sends one message a request, and notes when each came back at a second port.
class BareLoop {
 public:
  bool open() {
    jack_set_error_function([](const char*) {});  // of the tries until the server is up
    for (int turn = 0; turn < 100 && client_ == nullptr; ++turn) {
      client_ = jack_client_open("bare_out", JackNoStartServer, nullptr);
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
    }
    receiver_ =
        client_ == nullptr ? nullptr : jack_client_open("bare_in", JackNoStartServer, nullptr);
    if (receiver_ == nullptr) return false;
    out_ = jack_port_register(client_, "out", JACK_DEFAULT_MIDI_TYPE, JackPortIsOutput, 0);
    in_ = jack_port_register(receiver_, "in", JACK_DEFAULT_MIDI_TYPE, JackPortIsInput, 0);
    jack_set_process_callback(client_, send_cycle, this);
    jack_set_process_callback(receiver_, receive_cycle, this);
    return jack_activate(client_) == 0 && jack_activate(receiver_) == 0 &&
           jack_connect(client_, "bare_out:out", "bare_in:in") == 0;
  }
  ~BareLoop() {
    for (auto* client : {client_, receiver_}) {
      if (client != nullptr) jack_client_close(client);
    }
  }

  void send(std::uint8_t note, bool on) {
    request_.store(0x90U | std::uint32_t{note} << 8U | (on ? 80U << 16U : 0U));
  }
  [[nodiscard]] std::uint64_t received() const { return received_.load(); }
  [[nodiscard]] std::int64_t last_ns() const { return last_ns_.load(); }

 private:
  static int send_cycle(jack_nframes_t frames, void* that) {
    auto& self = *static_cast<BareLoop*>(that);
    void* buffer = jack_port_get_buffer(self.out_, frames);
    jack_midi_clear_buffer(buffer);
    const std::uint32_t word = self.request_.exchange(0);
    if (word == 0) return 0;
    const std::array<jack_midi_data_t, 3> bytes{static_cast<jack_midi_data_t>(word),
                                                static_cast<jack_midi_data_t>(word >> 8U),
                                                static_cast<jack_midi_data_t>(word >> 16U)};
    return jack_midi_event_write(buffer, 0, bytes.data(), bytes.size());
  }
  static int receive_cycle(jack_nframes_t frames, void* that) {
    auto& self = *static_cast<BareLoop*>(that);
    void* buffer = jack_port_get_buffer(self.in_, frames);
    if (jack_midi_get_event_count(buffer) == 0) return 0;
    self.last_ns_.store(io::now_ns());
    self.received_.fetch_add(1);
    return 0;
  }

  jack_client_t* client_ = nullptr;
  jack_client_t* receiver_ = nullptr;
  jack_port_t* out_ = nullptr;
  jack_port_t* in_ = nullptr;
  std::atomic<std::uint32_t> request_{0};
  std::atomic<std::uint64_t> received_{0};
  std::atomic<std::int64_t> last_ns_{0};
};

double at_share(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

std::uint64_t notes_of(const engine::Now& now) { return now.note_starts + now.note_releases; }

/// Waits until a now-state holds `wanted` notes; when it was read, or 0 after 500 ms.
std::int64_t wait_for_note(engine::Bench& bench, io::Doorbell& woken, std::uint64_t wanted) {
  const std::int64_t limit_ns = io::now_ns() + 500 * ms;
  for (;;) {
    const auto seen = woken.count();
    const bool there = notes_of(bench.now()) >= wanted;
    const std::int64_t now_ns = io::now_ns();
    if (there) return now_ns;
    if (now_ns > limit_ns) return 0;
    woken.wait(seen, limit_ns - now_ns);
  }
}

void print_row(const char* what, const std::vector<double>& us) {
  std::printf("%-28s p50 %8.1f us   p99 %8.1f us   max %8.1f us\n", what, at_share(us, 0.5),
              at_share(us, 0.99), at_share(us, 1.0));
}

bool print_added(const char* what, double share, double limit_us, const std::vector<double>& ours,
                 const std::vector<double>& bare) {
  const double added = at_share(ours, share) - at_share(bare, share);
  const bool met = added <= limit_us;
  std::printf("%-28s %+8.1f us   target <= %+.0f us   %s\n", what, added, limit_us,
              met ? "met" : "MISSED");
  return met;
}

int fail(const char* text) {
  std::fprintf(stderr, "speed_port: %s\n", text);
  return 1;
}

int run(int notes) {
  BareLoop bare;
  if (!bare.open()) return fail("the JACK server did not start; is jackd installed?");
  io::Doorbell woken;
  engine::BenchSetup setup;
  setup.wake = [&woken] { woken.ring(); };
  engine::Bench bench(std::move(setup));
  auto source = io::open_port("bare_out:out");
  if (!source) return fail(source.error().what.c_str());
  engine::SessionSetup session;
  session.sources.push_back(std::move(*source));
  if (auto started = bench.start(std::move(session)); !started) {
    return fail(started.error().what.c_str());
  }
  std::this_thread::sleep_for(std::chrono::milliseconds(300));

  std::mt19937 random(1);
  std::vector<double> bare_us;
  std::vector<double> ours_us;
  int lost = 0;
  for (int i = 0; i < notes; ++i) {
    std::this_thread::sleep_for(std::chrono::microseconds(3000 + random() % 9000));
    const std::uint64_t before = bare.received();
    const std::uint64_t wanted = notes_of(bench.now()) + 1;
    const std::int64_t sent_ns = io::now_ns();
    bare.send(static_cast<std::uint8_t>(40 + i / 2 % 40), i % 2 == 0);
    const std::int64_t seen_ns = wait_for_note(bench, woken, wanted);
    if (seen_ns == 0 || bare.received() != before + 1) {
      ++lost;
      continue;
    }
    bare_us.push_back(static_cast<double>(bare.last_ns() - sent_ns) * 1e-3);
    ours_us.push_back(static_cast<double>(seen_ns - sent_ns) * 1e-3);
  }
  if (bare_us.empty()) return fail("no note came through");
  std::printf("%d notes at random moments, %d lost by the loop or by us\n", notes, lost);
  print_row("bare JACK loop", bare_us);
  print_row("port to now-state, read", ours_us);
  const bool p50 = print_added("added at p50", 0.5, 100.0, ours_us, bare_us);
  const bool p99 = print_added("added at p99", 0.99, 1000.0, ours_us, bare_us);
  return p50 && p99 ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  const int notes = argc > 1 ? std::atoi(argv[1]) : usual_notes;
  const Server server;
  return run(std::max(notes, 1));
}
