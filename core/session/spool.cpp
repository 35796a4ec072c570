// core/session/spool.cpp
#include "core/session/spool.h"

#include <algorithm>
#include <charconv>
#include <utility>

#include "core/session/capture_writer.h"

namespace strumwright::session {
namespace {

constexpr std::string_view name_start = "segment-";
constexpr std::string_view name_end = ".jsonl";
constexpr std::size_t name_digits = 6;

}  // namespace

std::string segment_name(std::uint64_t number) {
  auto digits = std::to_string(number);
  if (digits.size() < name_digits) digits.insert(0, name_digits - digits.size(), '0');
  return std::string(name_start) + digits + std::string(name_end);
}

std::optional<std::uint64_t> segment_number(std::string_view name) {
  if (!name.starts_with(name_start) || !name.ends_with(name_end)) return std::nullopt;
  if (name.size() < name_start.size() + name_end.size()) return std::nullopt;
  name.remove_prefix(name_start.size());
  name.remove_suffix(name_end.size());
  std::uint64_t number = 0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
  const bool whole = error == std::errc() && end == name.data() + name.size();
  return whole && name.size() >= name_digits ? std::optional(number) : std::nullopt;
}

std::vector<std::uint64_t> segment_numbers(const std::vector<std::string>& names) {
  std::vector<std::uint64_t> numbers;
  for (const auto& name : names) {
    if (const auto number = segment_number(name)) numbers.push_back(*number);
  }
  std::sort(numbers.begin(), numbers.end());
  return numbers;
}

Spool::Spool(InputHeader header, Settings settings)
    : header_(std::move(header)), state_(header_.sources.size(), settings) {}

bool Spool::is_full(std::int64_t t_ns) const {
  const auto& open = segments_.back();
  return t_ns - open.first_ns >= segment_ns || open.bytes >= segment_bytes;
}

void Spool::begin_segment(std::int64_t t_ns) {
  segments_.push_back({++newest_, t_ns, t_ns, 0});
  header_.carried = state_.carried();
  text_ = header_line(header_);
}

Spool::Step Spool::push(const Entry& entry) {
  text_.clear();
  const bool begins = segments_.empty() || is_full(entry.t_ns);
  if (begins) begin_segment(entry.t_ns);
  append_line(entry, text_);
  state_.push(entry);
  auto& open = segments_.back();
  open.last_ns = entry.t_ns;
  open.bytes += text_.size();
  bytes_ += text_.size();
  return {begins, open.number, text_};
}

std::vector<std::uint64_t> Spool::take_expired(std::int64_t now_ns) {
  std::vector<std::uint64_t> expired;
  auto first = segments_.begin();
  while (segments_.end() - first > 1 &&
         (first->last_ns < now_ns - spool_ns || bytes_ > spool_bytes)) {
    expired.push_back(first->number);
    bytes_ -= first->bytes;
    ++first;
  }
  segments_.erase(segments_.begin(), first);
  return expired;
}

}  // namespace strumwright::session
