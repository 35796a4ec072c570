// app/io/raw_source.h
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <string>
#include <thread>

#include "app/io/file_descriptor.h"
#include "app/io/raw_device.h"
#include "app/io/read_stamp.h"
#include "app/io/source.h"

namespace strumwright::io {

/// Reads bytes as they are from one device file: a serial line, a raw MIDI device file, a
/// pseudo-terminal or a FIFO. One thread; its stamps have the grade `byte`.
///
/// A FIFO whose last writer closes is gone, and back with the next writer. Any other device is gone
/// when it hangs up or reading fails, and back when it can be opened again by its name.
class RawSource final : public Source {
 public:
  /// `device` was opened from `path` at `baud`.
  RawSource(std::string path, int baud, RawDevice device);
  ~RawSource() override;

  [[nodiscard]] session::SourceInfo info() const override;
  [[nodiscard]] std::string detail() const override;
  [[nodiscard]] std::int64_t lateness_ns() const override;
  [[nodiscard]] Result<Done> start(StampedRing& into) override;
  void stop() override;

 private:
  void run();
  void read_once();
  void take(std::size_t bytes, std::int64_t read_ns);
  void come();
  void lose(const std::string& why);
  void open_again();
  [[nodiscard]] std::string rate_text() const;
  [[nodiscard]] bool rate_is_off() const;

  std::string path_;
  int asked_baud_;
  DeviceKind kind_;
  bool by_usb_;
  int hold_ms_;
  std::atomic<int> actual_baud_;
  std::int64_t byte_ns_;
  ReadStamp stamp_;

  // The reader's own.
  FileDescriptor fd_;
  bool linked_;       ///< false: gone, or a FIFO that nobody writes to
  bool said_ = true;  ///< the state of the link is known downstream
  StampedRing* into_ = nullptr;
  std::array<std::uint8_t, 4096> buffer_{};

  Wake wake_;
  std::atomic<bool> stopping_{false};
  std::thread thread_;
};

}  // namespace strumwright::io
