// app/io/jack_client.cpp
#include "app/io/jack_client.h"

#include <algorithm>
#include <chrono>
#include <mutex>
#include <thread>
#include <utility>

#include <jack/midiport.h>
#include <spdlog/spdlog.h>

#include "app/io/clock.h"

namespace strumwright::io {

struct JackClient::Life {
  jack_client_t* client = nullptr;
  std::atomic<bool> ended{false};
  OnEnd on_end = nullptr;
  void* argument = nullptr;
  bool untouchable = false;  ///< another client was tried since the server stopped
};

/// The clients that are open. Process-wide because what they share is libjack's, which is so.
struct JackRegister {
  std::recursive_mutex mutex;  // a question may open and close a client
  std::vector<JackClient::Life*> open;

  /// Not locked after 2 s: a close that hangs has it, and must not take the rest of the program
  /// with it.
  [[nodiscard]] std::unique_lock<std::recursive_mutex> lock() {
    std::unique_lock held(mutex, std::defer_lock);
    for (int ms = 0; ms < 2000 && !held.try_lock(); ++ms) {
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
    return held;
  }

  /// Whether the server of the open clients has stopped. All of them hear it, but not at once.
  [[nodiscard]] bool ended() {
    const bool any =
        std::any_of(open.begin(), open.end(), [](const auto* life) { return life->ended.load(); });
    if (any) end();
    return any;
  }

  void end() {
    for (auto* life : open) life->ended = true;
  }

  Result<JackClient> add(const char* name, JackClient::OnEnd on_end, void* argument);
};

namespace {

constexpr const char* look_name = "strumwright-look";

JackRegister& clients() {
  // Never destroyed: a client that hangs may close after main has ended.
  static auto* const all = new JackRegister();
  return *all;
}

void log_line(const char* text) { spdlog::debug("libjack: {}", text); }

Error none_runs() {
  return {"no JACK server runs", "JACK", "start jackd or a PipeWire JACK session"};
}

Error no_answer() {
  return {"the JACK server does not answer", "JACK", "end it, then start it again"};
}

std::vector<std::string> port_names(jack_client_t* client, const char* type, unsigned long flags) {
  std::vector<std::string> names;
  const char** found = jack_get_ports(client, nullptr, type, flags);
  if (found == nullptr) return names;
  for (const char** name = found; *name != nullptr; ++name) names.emplace_back(*name);
  jack_free(found);
  return names;
}

/// Asks a client that is open, or one opened for the question.
template <class Answer>
Result<Answer> ask_jack(const std::function<Answer(jack_client_t*)>& question) {
  auto& all = clients();
  const auto lock = all.lock();
  if (!lock) return no_answer();
  if (all.ended()) return none_runs();
  if (!all.open.empty()) return question(all.open.front()->client);
  auto opened = all.add(look_name, nullptr, nullptr);
  if (!opened) return opened.error();
  auto answer = question(opened->get());
  return answer;
}

}  // namespace

Result<JackClient> JackRegister::add(const char* name, JackClient::OnEnd on_end, void* argument) {
  if (ended()) return none_runs();
  // Process-wide, and RtMidi's use of libjack falls under it too.
  jack_set_error_function(log_line);
  jack_set_info_function(log_line);
  auto life = std::make_unique<JackClient::Life>();
  life->on_end = on_end;
  life->argument = argument;
  jack_status_t status{};
  life->client = jack_client_open(name, JackNoStartServer, &status);
  if (life->client == nullptr) {
    if ((status & JackServerFailed) == 0) return no_answer();
    end();  // it stopped a moment ago, unheard
    for (auto* other : open) other->untouchable = true;
    return none_runs();
  }
  jack_on_shutdown(
      life->client,
      [](void* that) {
        auto& ending = *static_cast<JackClient::Life*>(that);
        ending.ended = true;
        if (ending.on_end != nullptr) ending.on_end(ending.argument);
      },
      life.get());
  open.push_back(life.get());
  return JackClient(std::move(life));
}

Result<JackClient> JackClient::open(const char* name, OnEnd on_end, void* argument) {
  auto& all = clients();
  const auto lock = all.lock();
  if (!lock) return no_answer();
  return all.add(name, on_end, argument);
}

JackClient::JackClient() = default;
JackClient::JackClient(JackClient&&) noexcept = default;
JackClient::JackClient(std::unique_ptr<Life> life) : life_(std::move(life)) {}
JackClient::~JackClient() { static_cast<void>(close()); }

JackClient& JackClient::operator=(JackClient&& other) noexcept {
  if (this != &other) {
    static_cast<void>(close());
    life_ = std::move(other.life_);
  }
  return *this;
}

jack_client_t* JackClient::get() const { return life_ ? life_->client : nullptr; }

bool JackClient::ended() const { return !life_ || life_->ended; }

bool JackClient::close() {
  if (!life_) return true;
  auto& all = clients();
  const std::lock_guard lock(all.mutex);
  if (life_->ended) all.end();
  std::erase(all.open, life_.get());
  if (life_->untouchable) {
    static_cast<void>(life_.release());
    return false;
  }
  jack_client_close(life_->client);
  life_.reset();
  return true;
}

bool jack_runs() { return static_cast<bool>(jack_period_ns()); }

Result<std::vector<std::string>> jack_midi_ports(JackPorts which) {
  return ask_jack<std::vector<std::string>>([which](jack_client_t* client) {
    return port_names(client, JACK_DEFAULT_MIDI_TYPE,
                      which == JackPorts::giving ? JackPortIsOutput : JackPortIsInput);
  });
}

Result<std::vector<std::string>> jack_audio_outputs() {
  return ask_jack<std::vector<std::string>>([](jack_client_t* client) {
    std::vector<std::string> owners;
    for (const auto& name : port_names(client, JACK_DEFAULT_AUDIO_TYPE, JackPortIsInput)) {
      auto owner = name.substr(0, name.find(':'));
      if (owners.empty() || owners.back() != owner) owners.push_back(std::move(owner));
    }
    return owners;
  });
}

Result<std::int64_t> jack_period_ns() {
  return ask_jack<std::int64_t>([](jack_client_t* client) {
    return 1'000'000'000LL * jack_get_buffer_size(client) / jack_get_sample_rate(client);
  });
}

void JackClock::look() noexcept {
  constexpr std::int64_t longest_ns = 5'000;  // ours; three clock readings take about 0.1 us
  const std::int64_t before_ns = now_ns();
  const auto theirs_us = static_cast<std::int64_t>(jack_get_time());
  const std::int64_t after_ns = now_ns();
  if (known_ && after_ns - before_ns > longest_ns) return;
  offset_ns_ = before_ns + (after_ns - before_ns) / 2 - theirs_us * 1000;
  known_ = true;
}

}  // namespace strumwright::io
