// app/io/raw_source.cpp
#include "app/io/raw_source.h"

#include <cerrno>
#include <cstdlib>
#include <utility>

#include <poll.h>
#include <unistd.h>

#include "app/io/clock.h"
#include "app/io/device_error.h"
#include "app/io/thread_priority.h"

namespace strumwright::io {

namespace {

constexpr int reopen_ms = 1000;
/// How soon a writer that opens a FIFO and sends nothing is seen (ours); bytes wake us at once.
constexpr int writer_look_ms = 100;
/// Start, eight data bits, stop. Source: MIDI 1.0 Detailed Specification, Hardware.
constexpr std::int64_t bits_per_byte = 10;
/// A UART reads no reliable bytes beyond this (common practice, no source).
constexpr double tolerated_rate_error = 0.02;
constexpr int slowest_baud = 50;
constexpr int fastest_baud = 4'000'000;

std::int64_t wire_time_of_byte(int baud) {
  return bits_per_byte * 1'000'000'000 / (baud > 0 ? baud : midi_baud);
}

bool hung_up(int fd) {
  pollfd watched{fd, POLLIN, 0};
  return ::poll(&watched, 1, 0) == 1 && (watched.revents & (POLLHUP | POLLERR | POLLNVAL)) != 0;
}

OpenedSource open_as_source(const std::string& path, int baud, bool serial) {
  auto device = open_device(path, baud, Direction::in);
  if (!device) return device.error();
  if (serial && device->baud == 0) {
    return Error{"this is no serial line", path, "open it with --raw instead of --serial"};
  }
  return {std::make_unique<RawSource>(path, baud, std::move(*device))};
}

}  // namespace

OpenedSource open_raw(std::string_view path) {
  return open_as_source(std::string(path), midi_baud, false);
}

OpenedSource open_serial(std::string_view device, int baud) {
  if (baud < slowest_baud || baud > fastest_baud) {
    return Error{"no serial line runs at " + grouped(baud) + " baud", std::string(device),
                 "give a rate from 50 to 4,000,000; a MIDI wire has 31,250"};
  }
  return open_as_source(std::string(device), baud, true);
}

RawSource::RawSource(std::string path, int baud, RawDevice device)
    : path_(std::move(path)),
      asked_baud_(baud),
      kind_(device.kind),
      by_usb_(device.by_usb),
      hold_ms_(kind_ == DeviceKind::serial ? adapter_hold_ms(path_) : 0),
      actual_baud_(device.baud),
      byte_ns_(wire_time_of_byte(device.baud)),
      stamp_(byte_ns_),
      fd_(std::move(device.fd)),
      linked_(kind_ != DeviceKind::fifo) {}

RawSource::~RawSource() { stop(); }

session::SourceInfo RawSource::info() const {
  return {path_, !by_usb_, wire::Grade::byte, byte_ns_, false};
}

bool RawSource::rate_is_off() const {
  const int off = std::abs(actual_baud_.load() - asked_baud_);
  return off > tolerated_rate_error * asked_baud_;
}

std::string RawSource::rate_text() const {
  if (!rate_is_off()) return "at " + grouped(actual_baud_) + " baud";
  return "at " + grouped(actual_baud_) + " baud, although " + grouped(asked_baud_) +
         " were asked for: this adapter cannot do that rate";
}

std::string RawSource::detail() const {
  switch (kind_) {
    case DeviceKind::serial:
      return "raw bytes, serial line " + rate_text() +
             (hold_ms_ > 1 ? "; the adapter holds bytes up to " + grouped(hold_ms_) + " ms" : "") +
             "; opening it may have restarted the board (DTR)";
    case DeviceKind::pseudo_terminal:
      return "raw bytes, pseudo-terminal " + rate_text();
    case DeviceKind::fifo:
      return "raw bytes, FIFO, timed like a wire of " + grouped(midi_baud) + " baud";
    case DeviceKind::midi_file:
      break;
  }
  return by_usb_ ? "bytes of a USB device: whole messages, running status cannot be seen"
                 : "raw bytes, MIDI device file";
}

std::int64_t RawSource::lateness_ns() const {
  // What a usual adapter holds back (16 ms) and the scheduling of a reader (ours).
  const std::int64_t hold_ms = hold_ms_ > 1 ? hold_ms_ : 1;
  return (hold_ms + 4) * 1'000'000;
}

Result<Done> RawSource::start(StampedRing& into) {
  into_ = &into;
  if (actual_baud_ > 0 && rate_is_off()) {
    into.push_status(StampedRing::Kind::notice, now_ns(), "the line runs " + rate_text());
  }
  thread_ = std::thread([this] { run(); });
  return Done{};
}

void RawSource::stop() {
  stopping_ = true;
  wake_.call();
  if (thread_.joinable()) thread_.join();
}

void RawSource::run() {
  run_promptly();
  while (!stopping_) {
    if (fd_) {
      read_once();
    } else if (wake_.wait(-1, reopen_ms) == Wake::Ready::time) {
      open_again();
    }
  }
}

void RawSource::read_once() {
  const auto ready = wake_.wait(fd_.number(), linked_ ? -1 : writer_look_ms);
  if (ready == Wake::Ready::called) return;
  const auto got = ::read(fd_.number(), buffer_.data(), buffer_.size());
  const int error = errno;
  const auto read_ns = now_ns();
  if (got > 0) {
    take(static_cast<std::size_t>(got), read_ns);
  } else if (got < 0 && (error == EAGAIN || error == EINTR)) {
    // On a FIFO that is not linked, "nothing yet" means that somebody has opened it to write.
    if (error == EAGAIN) come();
  } else if (linked_) {
    lose(got < 0 ? device_error(error, path_).what : "");
  } else if (ready == Wake::Ready::hang_up) {
    open_again();  // a writer came and went unseen; the old descriptor would hang up for ever
  }
}

void RawSource::take(std::size_t bytes, std::int64_t read_ns) {
  come();
  into_->push(stamp_.stamp(read_ns, bytes), {buffer_.data(), bytes});
}

void RawSource::come() {
  if (linked_) return;
  linked_ = true;
  if (!std::exchange(said_, true)) {
    into_->push_status(StampedRing::Kind::back, now_ns(), path_ + " is back");
  }
}

void RawSource::lose(const std::string& why) {
  linked_ = false;
  said_ = false;
  const std::string text = kind_ == DeviceKind::fifo
                               ? path_ + ": the last writer has closed it"
                               : path_ + " has gone" + (why.empty() ? "" : ": " + why);
  into_->push_status(StampedRing::Kind::gone, now_ns(), text);
  if (kind_ == DeviceKind::fifo) {
    open_again();
  } else {
    fd_.close();
  }
}

void RawSource::open_again() {
  auto device = open_device(path_, asked_baud_, Direction::in);
  if (!device || device->kind != kind_) {
    fd_.close();
    return;
  }
  // The new one is opened before the old one goes, so that no writer of a FIFO meets none.
  fd_ = std::move(device->fd);
  if (kind_ == DeviceKind::fifo) return;
  if (hung_up(fd_.number())) {
    fd_.close();
    return;
  }
  actual_baud_ = device->baud;
  come();
}

}  // namespace strumwright::io
