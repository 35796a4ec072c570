// core/session/byte_source.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "core/result.h"

namespace strumwright::session {

/// Pulls bytes from what `app` opened (a file, stdin, memory in tests).
class ByteSource {
 public:
  virtual ~ByteSource() = default;
  /// Fills as much of `space` as there is at once; 0 is the end.
  virtual Result<std::size_t> read(std::span<std::uint8_t> space) = 0;
};

/// Takes bytes to what `app` opened.
class ByteSink {
 public:
  virtual ~ByteSink() = default;
  virtual Result<Done> write(std::span<const std::uint8_t> bytes) = 0;
};

}  // namespace strumwright::session
