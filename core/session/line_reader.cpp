// core/session/line_reader.cpp
#include "core/session/line_reader.h"

#include <algorithm>
#include <cstring>
#include <utility>

namespace strumwright::session {
namespace {

constexpr std::size_t first_bytes = std::size_t{16} << 10U;
constexpr std::size_t piece_bytes = std::size_t{256} << 10U;
constexpr std::size_t most_bytes = limits::line_bytes + piece_bytes;
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

}  // namespace

LineReader::LineReader(std::string path, ByteSource& source)
    : path_(std::move(path)),
      source_(source),
      capacity_(first_bytes),
      buffer_(std::make_unique_for_overwrite<char[]>(capacity_ + padding)),
      at_(buffer_.get()) {
  buffer_[0] = '\0';
}

std::string LineReader::where(std::uint64_t number) const {
  return path_ + ", line " + std::to_string(number);
}

Result<std::optional<Line>> LineReader::next() {
  if (!started_) {
    if (auto begun = start(); !begun) return begun.error();
  }
  for (;;) {
    const void* found = std::memchr(at_ + searched_, '\n', left_ - searched_);
    const auto text_bytes =
        found != nullptr ? static_cast<std::size_t>(static_cast<const char*>(found) - at_) : left_;
    if (text_bytes > limits::line_bytes) return too_long();
    if (found != nullptr) return std::optional(cut(text_bytes, true));
    if (ended_) break;
    searched_ = left_;
    if (auto filled = fill(); !filled) return filled.error();
  }
  if (left_ == 0) return std::optional<Line>();
  return std::optional(cut(left_, false));
}

Error LineReader::too_long() const {
  return {"the line is longer than 16 MiB", where(number_ + 1),
          "check that the file is of the kind that it is read as"};
}

Line LineReader::cut(std::size_t text_bytes, bool ended) {
  const Line line{{at_, text_bytes}, number_ + 1, offset_, ended};
  take_lines(1, text_bytes + (ended ? 1 : 0));
  searched_ = 0;
  return line;
}

Result<Done> LineReader::fill() {
  if (left_ == capacity_ || (has_more_ && capacity_ < piece_bytes)) grow();
  if (at_ != buffer_.get()) std::memmove(buffer_.get(), at_, left_);
  at_ = buffer_.get();
  char* space = buffer_.get() + left_;
  const auto room = std::min(capacity_ - left_, piece_bytes);
  auto count = source_.read({reinterpret_cast<std::uint8_t*>(space), room});
  if (!count) return count.error();
  has_more_ = *count == room;
  ended_ = *count == 0;
  left_ += *count;
  buffer_[left_] = '\0';
  return Done{};
}

void LineReader::grow() {
  capacity_ = std::min(4 * capacity_, most_bytes);
  auto larger = std::make_unique_for_overwrite<char[]>(capacity_ + padding);
  std::memcpy(larger.get(), at_, left_);
  buffer_ = std::move(larger);
  at_ = buffer_.get();
}

Result<Done> LineReader::start() {
  while (!ended_ && left_ < byte_order_mark.size()) {
    if (auto filled = fill(); !filled) return filled.error();
  }
  started_ = true;
  if (!buffered().starts_with(byte_order_mark)) return Done{};
  at_ += byte_order_mark.size();
  left_ -= byte_order_mark.size();
  offset_ += byte_order_mark.size();
  return Done{};
}

}  // namespace strumwright::session
