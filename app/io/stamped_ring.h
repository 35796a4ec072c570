// app/io/stamped_ring.h
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "app/io/doorbell.h"

namespace strumwright::io {

/// Carries what a source gives to the bench thread: byte chunks and changes of the link, stamped,
/// in the order in which they happened.
///
/// One producer, one consumer. `push` and `push_status` are wait-free: no allocation, lock or
/// system call but the doorbell's wake (see there). A chunk that finds no room is dropped and
/// counted in bytes; the consumer meets the count at its place in the order. Several threads may
/// produce in turn if each hands over to the next by some other means (joined, or a closed gate).
/// Times: ns of the monotonic clock (app/io/clock.h); an earlier stamp than the one before is
/// raised to it.
// NOLINTNEXTLINE(clang-analyzer-optin.performance.Padding): lines of their own, see below
class StampedRing {
 public:
  /// A note message takes 32 bytes: room for 131,072 of them (ours; a full ring means that the
  /// bench thread has not run for 42 s of a saturated wire).
  static constexpr std::size_t usual_bytes = std::size_t{4} << 20U;

  enum class Kind : std::uint8_t {
    chunk,   ///< bytes as they came
    gone,    ///< the port or device went away; `text` is a sentence
    back,    ///< it is there again
    notice,  ///< a sentence of the source about itself, for instance a read error
    lost,    ///< nothing but `lost_before`: bytes were dropped and none came since
  };

  struct Item {
    Kind kind = Kind::chunk;
    std::int64_t t_ns = 0;
    std::uint64_t lost_before = 0;        ///< bytes dropped between the item before and this
    std::span<const std::uint8_t> bytes;  ///< of a chunk; good until `pop`

    /// Of gone, back and notice.
    [[nodiscard]] std::string_view text() const {
      return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
    }
  };

  /// `bytes` is rounded up to a power of two, at least 8 KiB; a chunk of up to a quarter of it
  /// always fits an empty ring. All of it is touched here, so that
  /// no callback meets a page fault.
  explicit StampedRing(Doorbell& bell, std::size_t bytes = usual_bytes);
  StampedRing(const StampedRing&) = delete;
  StampedRing& operator=(const StampedRing&) = delete;

  /// Producer: false if it was dropped. Nothing is dropped for an empty chunk, nor pushed.
  bool push(std::int64_t t_ns, std::span<const std::uint8_t> bytes) noexcept;

  /// Producer: gone, back or notice; the text is cut at 512 bytes. A reserve that chunks may not
  /// use keeps room for some dozens of them in a ring that is full.
  bool push_status(Kind kind, std::int64_t t_ns, std::string_view text) noexcept;

  /// Consumer: the oldest item, or null. The same one until `pop`.
  [[nodiscard]] const Item* front() noexcept;

  /// Consumer: done with `front()`, which was not null.
  void pop() noexcept;

  /// Any thread: bytes dropped since the start.
  [[nodiscard]] std::uint64_t lost_bytes() const noexcept {
    return lost_.load(std::memory_order_acquire);
  }

 private:
  struct Head {
    std::int64_t t_ns;
    std::uint64_t lost;  ///< total dropped before this record
    std::uint32_t size;
    Kind kind;
    bool skip;  ///< nothing here: the next record is at the start of the memory
  };
  static_assert(sizeof(Head) == 24);

  bool write(Kind kind, std::int64_t t_ns, std::span<const std::uint8_t> bytes,
             std::size_t reserve) noexcept;
  bool read_front(std::uint64_t written) noexcept;

  Doorbell& bell_;
  std::vector<std::uint8_t> memory_;
  // Producer's and consumer's own values on lines of their own: neither slows the other.
  alignas(64) std::atomic<std::uint64_t> written_{0};
  std::atomic<std::uint64_t> lost_{0};
  std::atomic<std::int64_t> lost_t_ns_{0};
  std::int64_t last_t_ns_ = INT64_MIN;
  alignas(64) std::atomic<std::uint64_t> read_{0};
  std::uint64_t lost_told_ = 0;
  std::uint64_t front_end_ = 0;
  bool has_front_ = false;
  Item front_;
};

}  // namespace strumwright::io
