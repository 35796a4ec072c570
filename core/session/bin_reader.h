// core/session/bin_reader.h
#pragma once

#include <span>
#include <string>

#include "core/session/byte_block.h"
#include "core/session/input_reader.h"

namespace strumwright::session {

/// Reads a binary dump: every byte as it is, in blocks of at most 64 KiB. Empty input is no
/// entries.
class BinReader final : public InputReader {
 public:
  BinReader(const std::string& path, ByteSource& source);

  [[nodiscard]] const InputHeader& header() const override { return header_; }
  Result<std::span<const Entry>> read() override;

 private:
  ByteSource& source_;
  InputHeader header_;
  Entry entry_;  ///< the newest
  ByteBlock block_;
};

}  // namespace strumwright::session
