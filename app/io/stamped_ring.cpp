// app/io/stamped_ring.cpp
#include "app/io/stamped_ring.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cstring>

namespace strumwright::io {

namespace {

constexpr std::size_t smallest_bytes = 8192;
constexpr std::size_t status_reserve = 4096;
constexpr std::size_t longest_text = 512;

std::uint64_t padded(std::uint64_t size) { return (size + 7U) & ~std::uint64_t{7}; }

}  // namespace

StampedRing::StampedRing(Doorbell& bell, std::size_t bytes)
    : bell_(bell), memory_(std::bit_ceil(std::max(bytes, smallest_bytes)), std::uint8_t{0}) {}

bool StampedRing::push(std::int64_t t_ns, std::span<const std::uint8_t> bytes) noexcept {
  if (bytes.empty()) return true;
  if (write(Kind::chunk, t_ns, bytes, status_reserve)) return true;
  lost_t_ns_.store(std::max(t_ns, last_t_ns_), std::memory_order_relaxed);
  // Releases every record before the loss: who sees this count also sees those.
  lost_.fetch_add(bytes.size(), std::memory_order_release);
  bell_.ring();
  return false;
}

bool StampedRing::push_status(Kind kind, std::int64_t t_ns, std::string_view text) noexcept {
  assert(kind == Kind::gone || kind == Kind::back || kind == Kind::notice);
  const auto* first = reinterpret_cast<const std::uint8_t*>(text.data());
  return write(kind, t_ns, {first, std::min(text.size(), longest_text)}, 0);
}

bool StampedRing::write(Kind kind, std::int64_t t_ns, std::span<const std::uint8_t> bytes,
                        std::size_t reserve) noexcept {
  const std::uint64_t size = memory_.size();
  std::uint64_t at = written_.load(std::memory_order_relaxed);
  const std::uint64_t need = sizeof(Head) + padded(bytes.size());
  const std::uint64_t to_end = size - at % size;
  // A record lies in one piece. What is left at the end is skipped; a head may not fit there.
  const std::uint64_t skipped = to_end < need ? to_end : 0;
  const std::uint64_t used = at - read_.load(std::memory_order_acquire);
  if (skipped + need + reserve > size - used) return false;
  Head head{std::max(t_ns, last_t_ns_), lost_.load(std::memory_order_relaxed),
            static_cast<std::uint32_t>(bytes.size()), kind, false};
  if (skipped >= sizeof(Head)) {
    const Head hole{0, 0, 0, Kind::chunk, true};
    std::memcpy(&memory_[at % size], &hole, sizeof hole);
  }
  at += skipped;
  std::memcpy(&memory_[at % size], &head, sizeof head);
  if (!bytes.empty()) std::memcpy(&memory_[at % size + sizeof head], bytes.data(), bytes.size());
  last_t_ns_ = head.t_ns;
  written_.store(at + need, std::memory_order_release);
  bell_.ring();
  return true;
}

const StampedRing::Item* StampedRing::front() noexcept {
  if (has_front_) return &front_;
  if (read_front(written_.load(std::memory_order_acquire))) return &front_;
  const std::uint64_t lost = lost_.load(std::memory_order_acquire);
  if (lost == lost_told_) return nullptr;
  // A record may have come in before the loss; it then goes first.
  if (read_front(written_.load(std::memory_order_acquire))) return &front_;
  front_ = {Kind::lost, lost_t_ns_.load(std::memory_order_relaxed), lost - lost_told_, {}};
  front_end_ = read_.load(std::memory_order_relaxed);
  lost_told_ = lost;
  has_front_ = true;
  return &front_;
}

bool StampedRing::read_front(std::uint64_t written) noexcept {
  const std::uint64_t size = memory_.size();
  std::uint64_t at = read_.load(std::memory_order_relaxed);
  if (at == written) return false;
  Head head{};
  const std::uint64_t to_end = size - at % size;
  if (to_end >= sizeof head) std::memcpy(&head, &memory_[at % size], sizeof head);
  if (to_end < sizeof head || head.skip) {
    at += to_end;
    std::memcpy(&head, &memory_[at % size], sizeof head);
  }
  front_ = {
      head.kind, head.t_ns, head.lost - lost_told_, {&memory_[at % size] + sizeof head, head.size}};
  lost_told_ = head.lost;
  front_end_ = at + sizeof head + padded(head.size);
  has_front_ = true;
  return true;
}

void StampedRing::pop() noexcept {
  assert(has_front_);
  has_front_ = false;
  read_.store(front_end_, std::memory_order_release);
}

}  // namespace strumwright::io
