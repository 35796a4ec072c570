// core/session/hex_reader.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "core/session/byte_block.h"
#include "core/session/input_reader.h"

namespace strumwright::session {

/// Reads a hex dump: bytes of two hex digits of either case, joined to runs or apart; white space
/// and commas between runs, as pasted from a source file; `0x` may begin a run; `#` begins a
/// comment to the end of the line. Lines may be of any length. Empty input is no entries.
///
/// A run with an odd number of digits is an error, which names line and column (in bytes, from 1).
class HexReader final : public InputReader {
 public:
  HexReader(std::string path, ByteSource& source);

  [[nodiscard]] const InputHeader& header() const override { return header_; }
  Result<std::span<const Entry>> read() override;

 private:
  /// Inside a run: after its first 0, after `0x`, after half a byte, after whole bytes.
  enum class State : std::uint8_t { between, first_zero, prefix, half, whole, comment };
  using Complaint = std::optional<Error>;

  Complaint take_buffered();
  Complaint take(char character);
  void take_digit(std::uint8_t value);
  Complaint end_run(State then);
  void count_place(char character);
  [[nodiscard]] Error at_column(std::string what, std::uint64_t column) const;

  std::string path_;
  ByteSource& source_;
  InputHeader header_;
  Entry entry_;  ///< the newest
  ByteBlock block_;
  std::unique_ptr<std::uint8_t[]> text_;
  std::size_t at_ = 0;
  std::size_t filled_ = 0;
  bool ended_ = false;
  Complaint complaint_;
  State state_ = State::between;
  std::uint8_t high_ = 0;
  std::uint64_t line_ = 1;
  std::uint64_t column_ = 1;      ///< of the next character
  std::uint64_t run_column_ = 1;  ///< where the run began
};

}  // namespace strumwright::session
