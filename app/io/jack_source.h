// app/io/jack_source.h
#pragma once

#include <atomic>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

#include "app/io/source.h"

namespace strumwright::io {

struct JackInput;

/// Reads MIDI through libjack, each event at its own frame.
///
/// Connected to one port by name, or (`peer` empty) a port of our own for others to connect to.
/// Gone when that port, or the last one that was connected, or the server itself goes; back when
/// it is there again. Bytes pass unchanged: JACK checks none, so running status or a torn message
/// in them shows the peer, not a wire.
class JackSource final : public Source {
 public:
  /// Our port is "strumwright:NAME". Errors: no server.
  [[nodiscard]] static OpenedSource open(std::string peer, std::string name);

  JackSource(std::string peer, std::string name, std::shared_ptr<JackInput> input);
  ~JackSource() override;

  [[nodiscard]] session::SourceInfo info() const override;
  [[nodiscard]] std::string detail() const override;
  [[nodiscard]] std::int64_t lateness_ns() const override;
  [[nodiscard]] Result<Done> start(StampedRing& into) override;
  void stop() override;

 private:
  void keep();
  void look();
  void come_back();
  void leave(bool tell);
  void change_link(bool linked);
  [[nodiscard]] bool connect();

  std::string peer_;
  std::string name_;
  std::string shown_name_;
  std::atomic<unsigned> frame_rate_;
  std::atomic<unsigned> period_;
  StampedRing* into_ = nullptr;
  std::shared_ptr<Doorbell> bell_;
  std::shared_ptr<JackInput> input_;  ///< null while the server is away; the keeper's
  bool linked_ = false;
  bool said_gone_ = false;
  std::atomic<bool> stopping_{false};
  std::thread keeper_;
};

}  // namespace strumwright::io
