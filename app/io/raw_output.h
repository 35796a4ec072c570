// app/io/raw_output.h
#pragma once

#include <cstdint>
#include <string>

#include "app/io/output.h"
#include "app/io/raw_device.h"

namespace strumwright::io {

/// Writes bytes as they are to a serial line, a raw MIDI device file, a pseudo-terminal or a FIFO.
class RawOutput final : public Output {
 public:
  RawOutput(std::string path, RawDevice device);

  [[nodiscard]] std::string name() const override { return path_; }
  [[nodiscard]] bool raw() const override { return true; }
  [[nodiscard]] Result<Done> send(std::int64_t t_ns, std::span<const std::uint8_t> bytes) override;
  void flush() override;

 private:
  std::string path_;
  RawDevice device_;
};

}  // namespace strumwright::io
