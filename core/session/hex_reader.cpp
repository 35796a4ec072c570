// core/session/hex_reader.cpp
#include "core/session/hex_reader.h"

#include <string_view>
#include <utility>

#include "core/session/hex_digit.h"

namespace strumwright::session {
namespace {

constexpr std::size_t piece_bytes = std::size_t{256} << 10U;

bool separates(char character) {
  return std::string_view(" \t\r\n\v\f,").find(character) != std::string_view::npos;
}

std::string shown(char character) {
  const auto byte = static_cast<unsigned char>(character);
  if (byte > 0x20 && byte < 0x7F) return std::string("'") + character + "'";
  static constexpr std::string_view digits = "0123456789ABCDEF";
  return std::string("the byte ") + digits[byte >> 4U] + digits[byte & 0xFU];
}

}  // namespace

HexReader::HexReader(std::string path, ByteSource& source)
    : path_(std::move(path)),
      source_(source),
      header_(untimed_header(InputKind::hex, path_)),
      text_(std::make_unique_for_overwrite<std::uint8_t[]>(piece_bytes)) {}

Result<std::span<const Entry>> HexReader::read() {
  for (;;) {
    if (!complaint_) complaint_ = take_buffered();
    if (!block_.is_empty()) {  // what stood before it counts
      entry_ = block_.take();
      return std::span<const Entry>(&entry_, 1);
    }
    if (complaint_) return *complaint_;
    if (ended_) return std::span<const Entry>();
    auto count = source_.read({text_.get(), piece_bytes});
    if (!count) return count.error();
    at_ = 0;
    filled_ = *count;
    ended_ = *count == 0;
  }
}

HexReader::Complaint HexReader::take_buffered() {
  while (at_ < filled_ && !block_.is_full()) {
    const char character = static_cast<char>(text_[at_++]);
    if (auto complaint = take(character)) return complaint;
    count_place(character);
  }
  return ended_ ? end_run(State::between) : std::nullopt;
}

void HexReader::count_place(char character) {
  ++column_;
  if (character != '\n') return;
  ++line_;
  column_ = 1;
}

HexReader::Complaint HexReader::take(char character) {
  if (state_ == State::comment) {
    if (character == '\n') state_ = State::between;
    return std::nullopt;
  }
  if (const auto value = hex_digit(character); value != no_hex_digit) {
    take_digit(value);
    return std::nullopt;
  }
  if (state_ == State::first_zero && (character == 'x' || character == 'X')) {
    state_ = State::prefix;
    return std::nullopt;
  }
  if (separates(character)) return end_run(State::between);
  if (character == '#') return end_run(State::comment);
  return at_column(shown(character) + " is not a hex digit", column_);
}

void HexReader::take_digit(std::uint8_t value) {
  if (state_ == State::first_zero || state_ == State::half) {
    block_.add(static_cast<std::uint8_t>(high_ << 4U | value));
    state_ = State::whole;
    return;
  }
  if (state_ == State::between) run_column_ = column_;
  const bool is_first_zero = state_ == State::between && value == 0;
  high_ = value;
  state_ = is_first_zero ? State::first_zero : State::half;
}

HexReader::Complaint HexReader::end_run(State then) {
  const State run = std::exchange(state_, then);
  if (run == State::prefix) return at_column("0x has no digits behind it", run_column_);
  if (run != State::half && run != State::first_zero) return std::nullopt;
  return at_column("an odd number of hex digits stands together", run_column_);
}

Error HexReader::at_column(std::string what, std::uint64_t column) const {
  return {std::move(what),
          path_ + ", line " + std::to_string(line_) + ", column " + std::to_string(column),
          "write each byte with two hex digits, and # before comments"};
}

}  // namespace strumwright::session
