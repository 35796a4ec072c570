// app/io/jack_output.h
#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "app/io/output.h"

namespace strumwright::io {

struct JackLine;

/// Sends through libjack: each message at the frame of its time, one period later, so that the
/// distances between messages stay exact. `tend` gets back a server or a peer that went.
class JackOutput final : public Output {
 public:
  /// Connected to `peer`, or (empty) a port of our own, "strumwright-out:NAME".
  [[nodiscard]] static OpenedOutput open(std::string peer, std::string name);

  JackOutput(std::string peer, std::string name, std::shared_ptr<JackLine> line);
  ~JackOutput() override;

  [[nodiscard]] std::string name() const override;
  [[nodiscard]] bool raw() const override { return false; }
  [[nodiscard]] Result<Done> send(std::int64_t t_ns, std::span<const std::uint8_t> bytes) override;
  [[nodiscard]] std::int64_t lead_ns() const override;
  void flush() override;
  void tend() override;

 private:
  [[nodiscard]] Result<Done> check();
  void leave();

  std::string peer_;
  std::string name_;
  std::string shown_name_;
  std::shared_ptr<JackLine> line_;  ///< null while the server is away
};

}  // namespace strumwright::io
